/**
 * What may leave the phone: a job that is over, all of it at the shop, both digests equal, and then as many days as
 * chosen. Days are counted by the server's clock, at the end of a sync that went well: a phone's clock that jumps
 * removes nothing, and what has not been acknowledged stays whatever any clock says.
 */

import { ask, read, transact, write } from "./database.js";
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
  for (const job of await toTidy(Date.parse(now), days)) await tidyJob(job, Date.parse(now), days);
}

/**
 * The jobs of which something is to be done: nearly always none, and to see that must not keep a tap waiting.
 * @param {number} now_ms @param {number} days
 */
function toTidy(now_ms, days) {
  return transact([...STORES, "states"], "readonly", async (transaction) => {
    const jobs = await ask(transaction.objectStore("jobs").getAll());
    const due = await Promise.all(jobs.map((held) => whatIsDue(transaction, held, now_ms, days)));
    return jobs.filter((_held, place) => due[place]).map(({ job }) => job);
  });
}

/**
 * A job that is over is marked with the moment in which both sides agreed on it, and goes so many days later.
 * @param {IDBTransaction} transaction @param {Record<string, any>} held @param {number} now_ms @param {number} days
 * @returns {Promise<"mark" | "unmark" | "remove" | null>}
 */
async function whatIsDue(transaction, { job, done_ms }, now_ms, days) {
  const isMarked = done_ms !== undefined;
  if (!(await truthOf(transaction, job)).agree) return isMarked ? "unmark" : null;
  if (isMarked) return now_ms - done_ms >= days * DAY_MS ? "remove" : null;
  const { state } = await ask(transaction.objectStore("states").get(job));
  return state.phase === "open" ? null : "mark";
}

/**
 * One transaction looks and removes, so that nothing can be added in between.
 * @param {string} job @param {number} now_ms @param {number} days
 */
function tidyJob(job, now_ms, days) {
  return transact([...STORES, "sheets", "states"], "readwrite", async (transaction) => {
    const jobs = transaction.objectStore("jobs");
    const held = await ask(jobs.get(job));
    const due = await whatIsDue(transaction, held, now_ms, days);
    if (due === "mark") jobs.put({ ...held, done_ms: now_ms });
    if (due === "unmark") jobs.put({ ...held, done_ms: undefined });
    if (due === "remove") await remove(transaction, job, held.sheet_hash);
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
