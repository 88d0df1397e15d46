/**
 * What may leave the phone: a job that is over, all of it at the shop, both digests equal, and then as many days as
 * chosen. Days are counted by the server's clock, at the end of a sync that went well: a phone's clock that jumps
 * removes nothing, and what has not been acknowledged stays whatever any clock says.
 */

import { ask, read, readAll, transact, write } from "./database.js";
import { STORES, truthOf } from "./truth.js";

export const KEEP_DAYS = 7;
const DAY_MS = 86_400_000;

/** @returns {Promise<number>} */
export async function keepDays() {
  return (await read("sync", "settings"))?.keep_days ?? KEEP_DAYS;
}

/** @param {number} keep_days */
export function setKeepDays(keep_days) {
  return write("sync", { name: "settings", keep_days });
}

/**
 * @param {string} now the server's clock
 */
export async function tidy(now) {
  const days = await keepDays();
  for (const { job } of await readAll("jobs")) await tidyJob(job, Date.parse(now), days);
}

/**
 * One transaction looks and removes, so that nothing can be added in between.
 * @param {string} job @param {number} now_ms @param {number} days
 */
function tidyJob(job, now_ms, days) {
  return transact([...STORES, "sheets", "states"], "readwrite", async (transaction) => {
    const jobs = transaction.objectStore("jobs");
    const held = await ask(jobs.get(job));
    const { state } = await ask(transaction.objectStore("states").get(job));
    const { agree } = await truthOf(transaction, job);
    if (state.phase === "open" || !agree) {
      if (held.done_ms !== undefined) jobs.put({ ...held, done_ms: undefined });
    } else if (held.done_ms === undefined) {
      jobs.put({ ...held, done_ms: now_ms });
    } else if (now_ms - held.done_ms >= days * DAY_MS) {
      await remove(transaction, job, held.sheet_hash);
    }
  });
}

/**
 * What the shop has erased of a vehicle's owner goes from here at once; what the shop does not have yet is sent first.
 * @param {string[]} jobs
 */
export async function dropErased(jobs) {
  for (const job of jobs) {
    await transact([...STORES, "sheets", "states"], "readwrite", async (transaction) => {
      const held = await ask(transaction.objectStore("jobs").get(job));
      if (!held) return;
      for (const store of ["events", "photos"]) {
        if (await ask(transaction.objectStore(store).index("job-unsent").count([job, 1]))) return;
      }
      await remove(transaction, job, held.sheet_hash);
    });
  }
}

/** @param {IDBTransaction} transaction @param {string} job @param {string} sheet */
async function remove(transaction, job, sheet) {
  for (const [store, index] of [
    ["events", "job"],
    ["photos", "job"],
  ]) {
    const kept = transaction.objectStore(store);
    for (const key of await ask(kept.index(index).getAllKeys(job))) kept.delete(key);
  }
  transaction.objectStore("states").delete(job);
  transaction.objectStore("jobs").delete(job);
  const others = await ask(transaction.objectStore("jobs").getAll());
  if (!others.some((one) => one.sheet_hash === sheet)) transaction.objectStore("sheets").delete(sheet);
}

/**
 * When an ended job leaves this phone: milliseconds by the server's clock; null while it must stay.
 * @param {{done_ms?: number}} held @param {number} days
 */
export function leavesAt_ms({ done_ms }, days) {
  return done_ms === undefined ? null : done_ms + days * DAY_MS;
}
