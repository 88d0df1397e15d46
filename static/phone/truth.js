/**
 * Where the data is, in a word. Kept: only this phone has it. Sent: the shop has it, but the digests were not found equal
 * since. Agree: they were. Aside: the shop keeps something of it outside the journal, and a manager decides.
 */

import { ask, editionsOf, transact } from "./database.js";

/** @import { Say } from "../core/types.js" */
/**
 * @typedef {{unsent: number, photos: number, aside: number, agree: boolean, provisional?: number, lost?: boolean}} Truth events and photos,
 *   counted; `lost` where a phone that runs this worker does not know any more who it is
 */

export const STORES = ["jobs", "events", "photos"];

const COUNTED = ["events", "photos"];

/**
 * @typedef {{unsent: number, provisional: number, photos: number, aside: number, events?: number}} Counts `events`, all of
 *   the job's, only where somebody had to know
 */

/** What was counted last, job by job: to count a long journal takes longer than a tap. @type {Map<string, {edition: string, counts: Counts}>} */
const counted = new Map();

/**
 * Of one job. A transaction that has added events to it says how many, and adds no more.
 * @param {IDBTransaction} transaction @param {string} job @param {{unsent: number, provisional: number}} [added]
 * @returns {Promise<Truth>}
 */
export async function truthOf(transaction, job, added) {
  const held = await ask(transaction.objectStore("jobs").get(job)); // so whoever wrote before has ended, or failed
  const counts = await countsOf(transaction, job, added);
  const { unsent, photos, aside, provisional } = counts;
  let agree = !unsent && !photos && !aside; // only then is there anything to agree on, and to count for it
  if (agree) {
    counts.events ??= await ask(transaction.objectStore("events").index("job").count(job));
    agree = held?.agreed === counts.events;
  }
  return { unsent, photos, aside, provisional, agree };
}

/**
 * @param {IDBTransaction} transaction @param {string} job @param {{unsent: number, provisional: number}} [added]
 * @returns {Promise<Counts>}
 */
async function countsOf(transaction, job, added) {
  const { before, after } = editionsOf(transaction, COUNTED);
  const known = counted.get(job);
  const counts = known?.edition === before ? withMore(known.counts, added) : await count(transaction, job);
  if (before === after) counted.set(job, { edition: after, counts });
  else if (added) {
    for (const one of counted.values()) if (one.edition === before) one.edition = after; // of the others it changes nothing
    counted.set(job, { edition: after, counts });
    transaction.addEventListener("abort", () => counted.delete(job));
  }
  return counts;
}

/**
 * @param {Counts} counts @param {{unsent: number, provisional: number}} [added]
 * @returns {Counts}
 */
function withMore(counts, added) {
  if (!added) return counts;
  const { unsent, provisional, photos, aside } = counts;
  return { unsent: unsent + added.unsent, provisional: provisional + added.provisional, photos, aside };
}

/**
 * @param {IDBTransaction} transaction @param {string} job
 * @returns {Promise<Counts>}
 */
async function count(transaction, job) {
  const events = transaction.objectStore("events");
  const [unsent, provisional, photos, aside] = await Promise.all([
    ask(events.index("job-unsent").count([job, 1])),
    ask(events.index("job-provisional").count([job, 1])),
    ask(transaction.objectStore("photos").index("job-unsent").count([job, 1])),
    ask(events.index("job-aside").count(IDBKeyRange.bound([job], [job, []]))),
  ]);
  return { unsent, provisional, photos, aside };
}

/** How many events and photos only this phone has. */
export function countUnsent() {
  return transact(COUNTED, "readonly", async (transaction) => {
    const counts = COUNTED.map((store) => ask(transaction.objectStore(store).index("unsent").count()));
    return (await Promise.all(counts)).reduce((sum, count) => sum + count);
  });
}

/**
 * Of all that lies on this phone.
 * @returns {Promise<Truth>}
 */
export function truthOfAll() {
  return transact([...STORES, "device"], "readonly", ofAll);
}

/**
 * What a page tells that shows this job, or no job; null where the job does not lie here.
 * @param {string?} job
 * @returns {Promise<Truth?>}
 */
export function truthFor(job) {
  return transact([...STORES, "device"], "readonly", async (transaction) => {
    if (!job || (await isLost(transaction))) return ofAll(transaction);
    const isHere = await ask(transaction.objectStore("jobs").count(job));
    return isHere ? truthOf(transaction, job) : null;
  });
}

/** @param {IDBTransaction} transaction */
async function ofAll(transaction) {
  const lost = await isLost(transaction);
  const jobs = await ask(transaction.objectStore("jobs").getAllKeys());
  const each = await Promise.all(jobs.map((job) => truthOf(transaction, String(job))));
  const sum = (/** @type {"unsent" | "photos" | "aside"} */ what) => each.reduce((all, one) => all + one[what], 0);
  const agree = each.every((one) => one.agree);
  return { unsent: sum("unsent"), photos: sum("photos"), aside: sum("aside"), agree, lost };
}

/** Whether this phone does not know any more who it is. @param {IDBTransaction} transaction */
async function isLost(transaction) {
  return (await ask(transaction.objectStore("device").count("me"))) === 0;
}

/**
 * As the head of a page says it. Whatever this phone answers for, it can work on alone.
 * @param {Truth} truth @param {Say} say
 */
export function told({ unsent, photos, aside, agree, lost }, say) {
  if (lost) return { class: "aside", text: say("job-lost"), ready: false };
  if (unsent || photos) return { class: "kept", text: say("job-kept-here", { count: unsent + photos }), ready: true };
  if (aside) return { class: "aside", text: say("job-aside", { count: aside }), ready: true };
  const [look, text] = agree ? ["agree", "job-agreed"] : ["sent", "job-sent"];
  return { class: look, text: say(text), ready: true };
}
