/**
 * Where the data is, in a word. Kept: only this phone has it. Sent: the shop has it, but the digests were not found equal
 * since. Agree: they were. Aside: the shop keeps something of it outside the journal, and a manager decides.
 */

import { ask, transact } from "./database.js";

/** @import { Say } from "../core/types.js" */
/**
 * @typedef {{unsent: number, photos: number, aside: number, agree: boolean, provisional?: number, lost?: boolean}} Truth events and photos,
 *   counted; `lost` where a phone that runs this worker does not know any more who it is
 */

export const STORES = ["jobs", "events", "photos"];

/**
 * Of one job.
 * @param {IDBTransaction} transaction @param {string} job
 * @returns {Promise<Truth>}
 */
export async function truthOf(transaction, job) {
  const events = transaction.objectStore("events");
  const photo = transaction.objectStore("photos").index("job-unsent");
  const [unsent, provisional, photos, aside, held] = await Promise.all([
    ask(events.index("job-unsent").count([job, 1])),
    ask(events.index("job-provisional").count([job, 1])),
    ask(photo.count([job, 1])),
    ask(events.index("job-aside").count(IDBKeyRange.bound([job], [job, []]))),
    ask(transaction.objectStore("jobs").get(job)),
  ]);
  const all = !unsent && !photos && !aside; // only then is there anything to agree on, and to count for it
  return {
    unsent,
    photos,
    aside,
    provisional,
    agree: all && held?.agreed === (await ask(events.index("job").count(job))),
  };
}

/**
 * Of all that lies on this phone.
 * @returns {Promise<Truth>}
 */
export function truthOfAll() {
  return transact([...STORES, "device"], "readonly", async (transaction) => {
    const lost = (await ask(transaction.objectStore("device").count("me"))) === 0;
    const jobs = await ask(transaction.objectStore("jobs").getAllKeys());
    const each = await Promise.all(jobs.map((job) => truthOf(transaction, String(job))));
    const sum = (/** @type {"unsent" | "photos" | "aside"} */ what) => each.reduce((all, one) => all + one[what], 0);
    const agree = each.every((one) => one.agree);
    return { unsent: sum("unsent"), photos: sum("photos"), aside: sum("aside"), agree, lost };
  });
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
