/**
 * Jobs that are being planned on this phone: plain facts, on its disk from the first scan on, so that neither a reload
 * nor a flat battery loses anything. They are this phone's alone until they are started.
 */

import { ask, read, readAll, transact } from "./database.js";

/** @import { Facts } from "../core/intake.js" */

/**
 * @param {string} job
 * @returns {Promise<Facts?>}
 */
export async function draftOf(job) {
  return (await read("drafts", job)) ?? null;
}

/** @returns {Promise<Facts[]>} the newest first */
export async function drafts() {
  return (await readAll("drafts")).sort((one, other) => (one.id < other.id ? 1 : -1));
}

/** @param {Facts} facts */
export function keepDraft(facts) {
  return transact(["drafts"], "readwrite", (transaction) => ask(transaction.objectStore("drafts").put(facts)));
}

/**
 * Change a job that is still being planned; null where it is not. Where `change` throws, nothing is changed.
 * @param {string} job @param {(facts: Facts) => Facts} change
 * @returns {Promise<Facts?>}
 */
export function changeDraft(job, change) {
  return transact(["drafts"], "readwrite", async (transaction) => {
    const kept = transaction.objectStore("drafts");
    const before = await ask(kept.get(job));
    if (before?.phase !== "planning") return null;
    const after = change(before);
    await ask(kept.put(after));
    return after;
  });
}
