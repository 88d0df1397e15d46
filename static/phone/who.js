/**
 * Who has this phone, as its disk says: begun with a badge and a PIN, locked when nobody has used it for a while. Its
 * word counts for what is done here; the shop is told when it can be (see people.js).
 */

import { NotAllowed } from "../core/errors.js";
import { isLocked, isWorthNoting } from "../core/lock.js";
import { ask, transact } from "./database.js";

/** @import { Person } from "../core/types.js" */

/**
 * `person` works with it, or it is locked and waits for `holder`. `unchecked`: the shop has not checked that PIN yet.
 * @typedef {{person: Person?, holder: Person?, locked: boolean, unchecked: boolean, after_s: number}} Seat
 */

export const LOCK_AFTER_S = 900;

/**
 * @param {any} who @param {any} shelf as they lie in the store `shelf`
 * @returns {Seat}
 */
export function seatOf(who, shelf) {
  const holder = who?.person ?? null;
  const after_s = shelf?.lock_after_s ?? LOCK_AFTER_S;
  const locked = holder !== null && (who.locked === true || isLocked(who.used_s, Date.now() / 1000, after_s));
  const unchecked = holder !== null && who.sign_in?.unchecked === true;
  return { person: locked ? null : holder, holder, locked, unchecked, after_s };
}

/**
 * Note that it is used now, where that was not noted a moment ago. Throws NotAllowed (`phone-locked`) where it is locked.
 * @param {IDBTransaction} transaction @param {any} who @param {any} shelf
 * @returns {Seat}
 */
export function useIn(transaction, who, shelf) {
  const seat = seatOf(who, shelf);
  if (seat.locked) {
    const what = "this phone is locked, since nobody has used it for a while; give your PIN, then send it again";
    throw new NotAllowed("phone-locked", "pin", what);
  }
  const now_s = Math.floor(Date.now() / 1000);
  if (seat.person && isWorthNoting(who.used_s, now_s, seat.after_s)) {
    transaction.objectStore("shelf").put({ ...who, used_s: now_s });
  }
  return seat;
}

/**
 * @template T
 * @param {"readonly" | "readwrite"} mode @param {(transaction: IDBTransaction, who: any, shelf: any) => T} work
 * @returns {Promise<T>}
 */
function withWho(mode, work) {
  return transact(["shelf"], mode, async (transaction) => {
    const kept = transaction.objectStore("shelf");
    const [who, shelf] = await Promise.all(["who", "shelf"].map((name) => ask(kept.get(name))));
    return work(transaction, who, shelf);
  });
}

export function seat() {
  return withWho("readonly", (_transaction, who, shelf) => seatOf(who, shelf));
}

/** Somebody's hand is on the page. */
export function use() {
  return withWho("readwrite", useIn);
}

/** Lock it at once: whoever has it goes on with their PIN. */
export function lock() {
  return withWho("readwrite", (transaction, who) => {
    if (who?.person) transaction.objectStore("shelf").put({ ...who, locked: true, untold: true });
  });
}

/** Nobody has it any more. @param {Record<string, any>} [about] */
export function leave(about = {}) {
  return withWho("readwrite", (transaction) => {
    transaction.objectStore("shelf").put({ name: "who", person: null, untold: true, ...about });
  });
}
