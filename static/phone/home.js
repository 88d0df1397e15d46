/** What needs the shop: a part of its own, which the worker does not run until there is something to fetch or bring. */

export { loadPacket, loadPerson } from "./packet.js";
export { sync } from "./sync.js";
