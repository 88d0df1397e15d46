/**
 * The shelf: what this phone knows of the shop, so that it can begin a job alone. The library changes with the
 * procedures and lies in a record of its own; kit, people and times change from day to day; `told` is what the shop
 * said last of jobs that this phone does not hold.
 */

import { libraryOf } from "../core/shelf.js";
import { ask, transact } from "./database.js";
import { seatOf } from "./who.js";

/** @import { Library, Person } from "../core/types.js" */

/**
 * @typedef {{open: any[], planned: any[], ended: any[], check: any, release?: number?}} Told rows of facts, as the shop
 *   told them last, and the number of a release that waited for a decision
 * @typedef {{library: Library, kit: Record<string, any>, people: import("./texts.js").People,
 *   times: Record<string, [number, number, number]>, person: Person?, told: Told, seat: import("./who.js").Seat,
 *   wrong?: {name: string, at: string}}} Shop `wrong`: whose work ended here, since their PIN was wrong
 */

/** @type {Told} */
const NOTHING = { open: [], planned: [], ended: [], check: null };

/** The library as it was read last: it is large, and its hash says which it is. @type {{hash: string, library: Library}?} */
let ready = null;

/**
 * The shop as this phone knows it; null where it holds no shelf yet, and then the shop itself answers.
 * @returns {Promise<Shop?>}
 */
export function stocked() {
  return transact(["shelf"], "readonly", async (transaction) => {
    const kept = transaction.objectStore("shelf");
    const [shelf, who, told] = await Promise.all(["shelf", "who", "told"].map((name) => ask(kept.get(name))));
    if (!shelf?.library) return null;
    if (ready?.hash !== shelf.library) {
      ready = { hash: shelf.library, library: libraryOf((await ask(kept.get("library"))).shelf) };
    }
    const { kit, people, times } = shelf;
    const seat = seatOf(who, shelf);
    const about = { person: seat.person, seat, wrong: who?.wrong };
    return { library: ready.library, kit, people, times, told: told ?? NOTHING, ...about };
  });
}
