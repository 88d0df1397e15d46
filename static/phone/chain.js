/**
 * The chain within this phone: each event carries the SHA-256 of the line of the one before it (webapp/core/chain.py).
 *
 * Nothing but the database can be waited for inside a transaction. So the hash is worked out before, and where another tap
 * came in between, that is seen there and it is worked out once more.
 */

import { readAll } from "./database.js";
import { sha256 } from "./signed.js";

/** @typedef {{seq: number, sha256: string?}} Link the event made last, and its line's hash, or null where it is not here */
/** @typedef {{seq: number, line?: string, sha256?: string}} Tail what the phone's own record keeps of it */

/** @type {Promise<Link?>} */
let known = Promise.resolve(null);

/**
 * Do what adds an event behind the end of the chain. It answers with `behind`, the phone's own record, and does nothing,
 * where that end is another one by now; then it is tried again behind that.
 * @template T
 * @param {(end: Link?) => Promise<T | {behind: any}>} work
 * @returns {Promise<T>}
 */
export async function onChain(work) {
  for (;;) {
    const done = await work(await known);
    if (!(done instanceof Object && "behind" in done)) return /** @type {T} */ (done);
    await findChainEnd(done.behind);
  }
}

/** @param {Tail} tail */
export function chainOn({ seq, line, sha256: told }) {
  known = told || line === undefined ? Promise.resolve({ seq, sha256: told ?? null }) : hashed(seq, line);
  return known;
}

/**
 * Work it out from what lies on the disk: the record of the phone keeps the last line, an older version of the app did not.
 * @param {{id: string, seq: number, tail?: Tail}} device
 */
async function findChainEnd({ id, seq, tail }) {
  if (tail?.seq === seq) return chainOn(tail);
  const own = (await readAll("events")).find((one) => one.device === id && one.seq === seq);
  return chainOn({ seq, line: own?.line });
}

/** @param {number} seq @param {string} line @returns {Promise<Link>} */
async function hashed(seq, line) {
  return { seq, sha256: await sha256(line) };
}

/** What the next event carries, where there is something. @param {Link?} end */
export function following(end) {
  return end?.sha256 ? { before: end.sha256 } : {};
}
