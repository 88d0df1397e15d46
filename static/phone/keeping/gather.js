/** What lies on this phone: all that its own page tells, read in one look. */

import { ask, read, transact } from "../database.js";
import { pictureOf } from "../picture.js";
import { secondCopies } from "../second.js";
import { space } from "../space.js";
import { keepDays, leavesAt_ms } from "../tidy.js";
import { truthOf } from "../truth.js";

/** @import { Truth } from "../truth.js" */
/** @typedef {{sha256: string, bytes: number, sent_bytes: number}} UnsentPhoto */
/**
 * @typedef {{job: string, sheet: Record<string, any>, phase: string, truth: Truth, aside: string[],
 *   photos: UnsentPhoto[], leaves_at_ms: number?}} HeldJob
 * @typedef {{jobs: HeldJob[], last: Record<string, any>?, phone: string, who: string?, persisted: boolean,
 *   used: number?, free: number?, keep_days: number, former: import("../second.js").Copy[]}} Kept
 */

/** @returns {Promise<Kept>} */
export async function gather() {
  const keep_days = await keepDays();
  const [jobs, last, device, who] = await Promise.all([
    heldJobs(keep_days),
    read("sync", "last"),
    read("device", "me"),
    read("shelf", "who"),
  ]);
  const persisted = (await navigator.storage?.persisted?.()) ?? false;
  const about = { phone: device?.id ?? "", who: who?.person?.name ?? null, last: last ?? null };
  const former = (await secondCopies()).filter((one) => one.device !== about.phone);
  return { jobs, ...about, persisted, keep_days, former, ...(await space()) };
}

/** @param {number} days */
function heldJobs(days) {
  return transact(["jobs", "sheets", "states", "events", "photos", "sync"], "readonly", async (transaction) => {
    const held = await ask(transaction.objectStore("jobs").getAll());
    return Promise.all(held.map((one) => heldJob(transaction, one, days)));
  });
}

/**
 * @param {IDBTransaction} transaction @param {Record<string, any>} held @param {number} days
 * @returns {Promise<HeldJob>}
 */
async function heldJob(transaction, held, days) {
  const { job } = held;
  const events = transaction.objectStore("events").index("job-aside");
  const [{ sheet }, { state }, truth, apart, photos] = await Promise.all([
    ask(transaction.objectStore("sheets").get(held.sheet_hash)),
    ask(transaction.objectStore("states").get(job)),
    truthOf(transaction, job),
    ask(events.getAll(IDBKeyRange.bound([job], [job, []]))),
    ask(transaction.objectStore("photos").index("job-unsent").getAll([job, 1])),
  ]);
  const aside = [...new Set(apart.map((event) => String(event.aside)))];
  const leaves_at_ms = leavesAt_ms(held, days);
  const unsent = await Promise.all(photos.map((photo) => progress(transaction, photo)));
  return { job, sheet, phase: state.phase, truth, aside, photos: unsent, leaves_at_ms };
}

/**
 * @param {IDBTransaction} transaction @param {import("../tap.js").Photo} photo
 * @returns {Promise<UnsentPhoto>}
 */
async function progress(transaction, photo) {
  const { sha256 } = photo;
  const begun = await ask(transaction.objectStore("sync").get(`photo ${sha256}`));
  return { sha256, bytes: pictureOf(photo).size, sent_bytes: begun?.sent_bytes ?? 0 };
}
