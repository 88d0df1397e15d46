/** The journal on the phone: a tap read, guarded, kept and folded in one transaction. */

import { act, isRepeat } from "../core/act.js";
import { Stale } from "../core/errors.js";
import { nextRound, place } from "../core/events.js";
import { apply, byPlace, fold } from "../core/fold.js";
import { unproven } from "../core/vouched.js";
import { chainOn, following, onChain } from "./chain.js";
import { readClock, today } from "./clock.js";
import { ask, read, transact } from "./database.js";
import { truthOf } from "./truth.js";
import { seatOf, useIn } from "./who.js";

/** @import { Clock, Draft, Event, JobState, Person, Sheet } from "../core/types.js" */

/** @import { Shown } from "../core/crossing.js" */
/** @import { Place } from "../core/events.js" */
/** @typedef {{sheet: Sheet, state: JobState, last: Place?, apart: Shown[], names: Record<string, string>}} Standing */
/** @typedef {import("./who.js").Seat} Seat */
/** @typedef {Standing & {clock: Clock, person: Person?, seat: Seat, truth: import("./truth.js").Truth}} Progress `person` reads it */
/** @typedef {{sha256: string, media: string, bytes: ArrayBuffer}} Photo */
/**
 * @typedef {{id: string, photo: Photo?, witness: Person?, seal: object?, checked?: boolean, answer?: {asked: string, text: string}}} Along what was made ready
 *   before the tap; `checked`: the shop has found the witness's PIN to be right; `answer`: in place of a seal, what their own
 *   phone was asked and answered
 */

const ALL = ["device", "jobs", "sheets", "states", "events", "shelf", "photos"];

/** A sheet never changes, and its name says which it is: kept in memory, it need not be read for every tap. */
const sheets = new Map();

/** @param {string} job */
export async function holds(job) {
  return (await read("jobs", job)) !== undefined;
}

/**
 * The job as this phone knows it; null where the phone does not hold its packet.
 * @param {string} job
 * @returns {Promise<Progress?>}
 */
export function progressOf(job) {
  return transact(ALL, "readonly", async (transaction) => {
    const [at, device, who, shelf, truth] = await Promise.all([
      standing(transaction, job),
      ask(transaction.objectStore("device").get("me")),
      ask(transaction.objectStore("shelf").get("who")),
      ask(transaction.objectStore("shelf").get("shelf")),
      truthOf(transaction, job),
    ]);
    const seat = seatOf(who, shelf);
    return at && { ...at, clock: readClock(device?.clock).clock, person: seat.person, seat, truth };
  });
}

/**
 * Keep what this form asks for. When it returns, the event is on the phone's disk.
 *
 * A tap that comes again under the same id is answered, and kept once: a worker may have ended before it could answer.
 *
 * Null where the phone does not hold the job. Throws BadInput or NotAllowed as `act` does, `phone-locked` where it is
 * locked; a stale page is an answer.
 * @param {string} job @param {Record<string, string>} given @param {Along} along
 * @returns {Promise<(Progress & {stale: boolean})?>}
 */
export function tap(job, given, along) {
  return onChain((end) => tapAfter(end, job, given, along));
}

/**
 * The same, if `end` is the event that this phone made last; else nothing is done, and `behind` is what it knows of that.
 * @param {import("./chain.js").Link?} end @param {string} job @param {Record<string, string>} given @param {Along} along
 * @returns {Promise<(Progress & {stale: boolean}) | {behind: any} | null>}
 */
async function tapAfter(end, job, given, { id, photo, witness, seal, checked, answer }) {
  /** @type {{seq: number, line: string}?} */
  let written = null;
  const done = await transact(ALL, "readwrite", async (transaction) => {
    const [at, device, shelf, who, done] = await Promise.all([
      standing(transaction, job),
      ask(transaction.objectStore("device").get("me")),
      ask(transaction.objectStore("shelf").get("shelf")),
      ask(transaction.objectStore("shelf").get("who")),
      ask(transaction.objectStore("events").count(id)),
    ]);
    if (!at) return null;
    const { clock, kept } = readClock(device.clock);
    const seat = useIn(transaction, who, shelf);
    const left = given.do === "finish" ? await unprovenIn(transaction, job, at) : [];
    const who_and_what = { person: seat.person, witness, job: [], unproven: left };
    const moment = { clock, today: today(), kit: shelf?.kit ?? {}, ...who_and_what };
    const about = { ...at, clock, person: seat.person, seat };
    if (done) return { ...about, stale: false, truth: await truthOf(transaction, job) };
    let stale = false;
    let added = { unsent: 0, provisional: 0 };
    let { state } = at;
    try {
      const draft = act(at.sheet, state, given, moment);
      if (end?.seq !== device.seq) return { behind: device };
      if (seal && "by" in draft.data) draft.data.seal = seal;
      if (answer) draft.data.answer = answer;
      const where = { id, job, device: device.id, seq: device.seq + 1, round: nextRound(at.last, device.id) };
      const event = { ...named(draft, where, clock, moment.person), ...following(end) };
      const line = JSON.stringify(event);
      state = apply(at.sheet, state, event);
      const isProvisional = "by" in event.data && (answer || (event.data.seal ? !checked : seat.unchecked));
      const marks = { unsent: 1, ...(isProvisional ? { provisional: 1 } : {}) };
      added = { provisional: 0, ...marks };
      transaction.objectStore("events").put({ ...event, line, ...marks });
      transaction.objectStore("states").put({ job, state, last: place(event) });
      written = { seq: event.seq, line };
      transaction.objectStore("device").put({ ...device, seq: event.seq, tail: written, clock: kept });
      if (answer) transaction.objectStore("shelf").delete("asked");
      if (photo) transaction.objectStore("photos").put({ ...photo, job, event: event.id, unsent: 1 });
    } catch (error) {
      if (!(error instanceof Stale)) throw error;
      stale = !isRepeat(at.sheet, state, given);
    }
    // A photo may be one that lies here already: then all is counted anew.
    const truth = await truthOf(transaction, job, photo ? undefined : added);
    return { ...about, state, stale, truth };
  });
  if (written) chainOn(written); // worked out while the page is drawn
  return done;
}

/**
 * The steps whose countersign the shop has still to check, or has found not to be right.
 * @param {IDBTransaction} transaction @param {string} job @param {Standing} at
 */
async function unprovenIn(transaction, job, { state, apart }) {
  const waiting = await ask(transaction.objectStore("events").index("job-provisional").getAll([job, 1]));
  return [...waiting.map((/** @type {Event} */ one) => one.step ?? ""), ...unproven(state, apart)];
}

/**
 * Give a draft its identity and its place.
 * @param {Draft} draft @param {{id: string, job: string, device: string, seq: number, round: number}} where
 * @param {Clock} clock @param {Person?} person
 * @returns {Event}
 */
export function named({ kind, step, attempt, turn, data }, { round, ...where }, clock, person) {
  return { ...where, kind, step, attempt, turn, ...clock, person: person?.code ?? null, data, round };
}

/**
 * @param {IDBTransaction} transaction @param {string} job
 * @returns {Promise<Standing?>}
 */
async function standing(transaction, job) {
  const [held, snapshot] = await Promise.all([
    ask(transaction.objectStore("jobs").get(job)),
    ask(transaction.objectStore("states").get(job)),
  ]);
  if (!held) return null;
  const sheet = await sheetIn(transaction, held.sheet_hash);
  const apart = held.apart ?? [];
  return {
    sheet,
    state: snapshot.state,
    last: snapshot.last,
    apart,
    names: apart.length ? await namesIn(transaction) : {},
  };
}

/**
 * The names behind the badges, as the shelf has them.
 * @param {IDBTransaction} transaction
 * @returns {Promise<Record<string, string>>}
 */
async function namesIn(transaction) {
  const shelf = await ask(transaction.objectStore("shelf").get("shelf"));
  const people = Object.entries(shelf?.people ?? {});
  return Object.fromEntries(people.map(([code, { name }]) => [code, name]));
}

/**
 * What a list of jobs tells of one, so that it need not read the whole sheet of a job that has ended.
 * @param {Sheet} sheet
 */
export function aboutOf({ job: { id, sort, repair_order, vin }, vehicle }) {
  return { id, sort, repair_order, vin, vehicle: vehicle?.id ?? null };
}

/**
 * @param {IDBTransaction} transaction @param {string} hash
 * @returns {Promise<Sheet>}
 */
export async function sheetIn(transaction, hash) {
  const sheet = sheets.get(hash) ?? (await ask(transaction.objectStore("sheets").get(hash))).sheet;
  sheets.set(hash, sheet);
  return sheet;
}

/**
 * Fold all that is known of a job anew, and keep it as its snapshot.
 * @param {IDBTransaction} transaction @param {string} job @param {Sheet} sheet
 */
export async function foldAnew(transaction, job, sheet) {
  const known = await ask(transaction.objectStore("events").index("job").getAll(job));
  const state = fold(sheet, known);
  const last = known.sort(byPlace).at(-1);
  transaction.objectStore("states").put({ job, state, last: last ? place(last) : null });
}
