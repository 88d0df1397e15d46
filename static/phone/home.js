/** What is not needed at a job's first step: a part of its own, which the worker runs when it is first needed. */

export { isAtWork } from "./at-work.js";
export { beforeShop, tellShop } from "./chosen.js";
export { answerKept, troublePage } from "./keeping/index.js";
export { loadPacket } from "./packet.js";
export { askWho } from "./people.js";
export { sync } from "./sync.js";
