/** The journal on the phone: a tap read, guarded, kept and folded in one transaction. */

import { act, isRepeat } from "../core/act.js";
import { Stale } from "../core/errors.js";
import { apply, byPlace, fold } from "../core/fold.js";
import { newId, readClock, today } from "./clock.js";
import { ask, transact } from "./database.js";

/** @import { Clock, Draft, Event, JobState, Person, Sheet } from "../core/types.js" */

/** @typedef {{round: number, device: string, seq: number}} Place */
/** @typedef {{sheet: Sheet, state: JobState, clock: Clock, truth: Record<string, any>}} Progress */
/** @typedef {{sha256: string, media: string, blob: Blob}} Photo */

const ALL = ["device", "jobs", "sheets", "states", "events", "shelf", "photos"];

/** A sheet never changes, and its name says which it is: kept in memory, it need not be read for every tap. */
const sheets = new Map();

/**
 * The job as this phone knows it; null where the phone does not hold its packet.
 * @param {string} job
 * @returns {Promise<Progress?>}
 */
export function progressOf(job) {
  return transact(ALL, "readonly", async (transaction) => {
    const at = await standing(transaction, job);
    if (!at) return null;
    const device = await ask(transaction.objectStore("device").get("me"));
    return { ...at, clock: readClock(device?.clock).clock, truth: await truthOf(transaction, job) };
  });
}

/**
 * Keep what this form asks for. When it returns, the event is on the phone's disk.
 *
 * Null where the phone does not hold the job. Throws BadInput or NotAllowed as `act` does; a stale page is an answer.
 * @param {string} job @param {Record<string, string>} given @param {Person?} witness @param {Photo?} photo
 * @returns {Promise<(Progress & {stale: boolean})?>}
 */
export function tap(job, given, witness, photo) {
  return transact(ALL, "readwrite", async (transaction) => {
    const at = await standing(transaction, job);
    if (!at) return null;
    const [device, shelf] = await Promise.all([
      ask(transaction.objectStore("device").get("me")),
      ask(transaction.objectStore("shelf").get("shelf")),
    ]);
    const { clock, kept } = readClock(device.clock);
    const moment = { clock, today: today(), kit: shelf?.kit ?? {}, person: shelf?.person ?? null, witness, job: [] };
    let stale = false;
    let { state } = at;
    try {
      const draft = act(at.sheet, state, given, moment);
      const event = named(draft, job, device, clock, moment.person, nextRound(at.last, device.id));
      state = apply(at.sheet, state, event);
      transaction.objectStore("events").put({ ...event, unsent: 1 });
      transaction.objectStore("states").put({ job, state, last: placeOf(event) });
      transaction.objectStore("device").put({ ...device, seq: event.seq, clock: kept });
      if (photo) transaction.objectStore("photos").put({ ...photo, job, event: event.id, unsent: 1 });
    } catch (error) {
      if (!(error instanceof Stale)) throw error;
      stale = !isRepeat(state, given);
    }
    return { sheet: at.sheet, state, clock, stale, truth: await truthOf(transaction, job) };
  });
}

/**
 * Give a draft its identity and its place.
 * @param {Draft} draft @param {string} job @param {{id: string, seq: number}} device @param {Clock} clock
 * @param {Person?} person @param {number} round
 * @returns {Event}
 */
function named(draft, job, device, clock, person, round) {
  const { kind, step, attempt, turn, data } = draft;
  const where = { id: newId(), job, device: device.id, seq: device.seq + 1 };
  return { ...where, kind, step, attempt, turn, ...clock, person: person?.code ?? null, data, round };
}

/** @param {Event} event @returns {Place} */
function placeOf({ round, device, seq }) {
  return { round, device, seq };
}

/**
 * The round of a device's next event: a new one as soon as it has learned of something that another one did.
 * @param {Place?} last @param {string} device
 */
function nextRound(last, device) {
  if (!last) return 0;
  return last.device === device ? last.round : last.round + 1;
}

/**
 * @param {IDBTransaction} transaction @param {string} job
 * @returns {Promise<{sheet: Sheet, state: JobState, last: Place?}?>}
 */
async function standing(transaction, job) {
  const held = await ask(transaction.objectStore("jobs").get(job));
  if (!held) return null;
  const sheet =
    sheets.get(held.sheet_hash) ?? (await ask(transaction.objectStore("sheets").get(held.sheet_hash))).sheet;
  sheets.set(held.sheet_hash, sheet);
  const snapshot = await ask(transaction.objectStore("states").get(job));
  return { sheet, state: snapshot.state, last: snapshot.last };
}

/**
 * Fold all that is known of a job anew, and keep it as its snapshot.
 * @param {IDBTransaction} transaction @param {string} job @param {Sheet} sheet
 */
export async function foldAnew(transaction, job, sheet) {
  const known = await ask(transaction.objectStore("events").index("job").getAll(job));
  const state = fold(sheet, known);
  const last = known.sort(byPlace).at(-1);
  transaction.objectStore("states").put({ job, state, last: last ? placeOf(last) : null });
}

/**
 * Where the job's data is: how many events only this phone has, and whether both sides' digests were found equal
 * since the last one.
 * @param {IDBTransaction} transaction @param {string} job
 */
async function truthOf(transaction, job) {
  const events = transaction.objectStore("events");
  const [known, unsent, held] = await Promise.all([
    ask(events.index("job").count(job)),
    ask(events.index("job-unsent").count([job, 1])),
    ask(transaction.objectStore("jobs").get(job)),
  ]);
  return { unsent, agree: !unsent && held.agreed === known };
}
