/**
 * A job of which the server holds something else than this phone, although nothing is unsent: the server was put back
 * from an older backup. What it has lost of this phone's own is sent again; of what others did its word counts, and
 * whatever stands here against that is kept apart, not thrown away. Other phones bring theirs again themselves.
 */

import { ask, transact } from "./database.js";
import { foldAnew, sheetIn } from "./journal.js";
import { send } from "./signed.js";

/** @typedef {{server_seq: number, sha256: string, line: string}} Line */

const WHY = "the shop was put back from an older backup, and holds something else in this place, or nothing";

/** What is kept apart from a job lies under another name. @param {string} job */
const apartFrom = (job) => `${job} apart`;

/**
 * Every event that the server has of a job, from the first.
 * @param {import("./signed.js").Me} me @param {string} job
 * @returns {Promise<Line[]>}
 */
export async function linesOf(me, job) {
  const lines = [];
  for (let after = 0, more = true; more; after = lines.at(-1)?.server_seq ?? after) {
    const told = await (await send(me, "GET", `/sync/jobs/${job}/events?after=${after}`)).json();
    lines.push(...told.events);
    more = told.more;
  }
  return lines;
}

/**
 * Hold of a job what the server holds, and this phone's own events besides.
 * @param {string} device @param {string} job @param {Line[]} lines
 */
export function holdWhatTheyHold(device, job, lines) {
  const theirs = new Map(lines.map((one) => [placeOf(JSON.parse(one.line)), one.line]));
  return transact(["jobs", "sheets", "states", "events"], "readwrite", async (transaction) => {
    const events = transaction.objectStore("events");
    for (const event of await ask(events.index("job").getAll(job))) {
      const line = theirs.get(placeOf(event));
      if (line === event.line || (line === undefined && event.device === device)) continue;
      const { unsent: _sent, ...kept } = event;
      events.put({ ...kept, job: apartFrom(job), aside: WHY });
    }
    for (const one of lines) events.put({ round: 0, ...JSON.parse(one.line), ...one });
    const held = await ask(transaction.objectStore("jobs").get(job));
    transaction.objectStore("jobs").put({ ...held, server_seq: lines.at(-1)?.server_seq ?? 0, done_ms: undefined });
    await foldAnew(transaction, job, await sheetIn(transaction, held.sheet_hash));
  });
}

/** @param {{device: string, seq: number}} event */
function placeOf({ device, seq }) {
  return `${device} ${seq}`;
}
