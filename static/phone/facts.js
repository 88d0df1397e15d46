/**
 * The facts of jobs that were begun on this phone, until the shop has made the jobs of them. Where it comes to another
 * sheet (its procedures were changed meanwhile), the phone's own sheet goes along, since the work was done by it.
 */

import { canonical } from "../core/sheet.js";
import { ask, transact } from "./database.js";

/** So many characters of facts go into one batch at most, or the facts of one job. */
const MOST_TEXT = 1_000_000;
/** What an event is set aside for where the server lacks its job: after it was put back from an older backup, too. */
const LACKS_JOB = ["job-unknown", "sheet-differs"];

/**
 * As texts, the oldest job first.
 * @returns {Promise<string[]>}
 */
export function factsToSend() {
  return transact(["jobs", "sheets"], "readonly", async (transaction) => {
    const texts = [];
    let length = 0;
    for (const { facts, untold, with_body, sheet_hash } of await ask(transaction.objectStore("jobs").getAll())) {
      if (!untold) continue;
      const kept = with_body ? await ask(transaction.objectStore("sheets").get(sheet_hash)) : null;
      const text = JSON.stringify(kept ? { ...facts, body: canonical(kept.sheet) } : facts);
      if (length && length + text.length > MOST_TEXT) break;
      length += text.length;
      texts.push(text);
    }
    return texts;
  });
}

/**
 * What came of them: made or known there; asked for with the sheet; or refused, which is kept to be shown.
 * @param {string} device @param {{jobs: Record<string, any>[], answers: Record<string, any>[]}} told
 */
export function factsTaken(device, { jobs, answers }) {
  const lacking = answers.filter(({ status, error }) => status === "aside" && LACKS_JOB.includes(error.code));
  return transact(["jobs", "events"], "readwrite", async (transaction) => {
    if (lacking.length) await tellAgain(transaction, device, new Set(lacking.map((one) => one.seq)));
    const kept = transaction.objectStore("jobs");
    for (const { id, status, error } of jobs) {
      const found = await ask(kept.get(id));
      if (!found) continue;
      const { untold: _untold, refused: _refused, ...job } = found;
      if (status !== "refused") {
        kept.put(job);
        await tellAside(transaction, id);
      } else if (error.code === "sheet-differs" && !job.with_body) {
        kept.put({ ...job, untold: true, with_body: true });
      } else {
        kept.put({ ...job, refused: error.message });
        await tellAside(transaction, id, error.message);
      }
    }
  });
}

/**
 * The server lacks the jobs of these events of ours.
 * @param {IDBTransaction} transaction @param {string} device @param {Set<number>} seqs
 */
async function tellAgain(transaction, device, seqs) {
  const kept = transaction.objectStore("jobs");
  const events = await ask(transaction.objectStore("events").getAll());
  const lacking = events.filter((event) => event.device === device && seqs.has(event.seq));
  for (const name of new Set(lacking.map((event) => event.job))) {
    const job = await ask(kept.get(name));
    if (job?.facts && !job.refused) kept.put({ ...job, untold: true });
  }
}

/**
 * What waits there for want of its job: it has come in by itself, or it waits for the reason that its job does.
 * @param {IDBTransaction} transaction @param {string} job @param {string} [why]
 */
async function tellAside(transaction, job, why) {
  const events = transaction.objectStore("events");
  for (const { aside, ...event } of await ask(events.index("job").getAll(job))) {
    if (aside) events.put(why ? { ...event, aside: why } : event);
  }
}
