/** The journal on the phone: what it holds of a job. A tap is kept by tap.js. */

import { place } from "../core/events.js";
import { byPlace, fold } from "../core/fold.js";
import { readClock } from "./clock.js";
import { ask, read, transact } from "./database.js";
import { truthOf } from "./truth.js";
import { seatOf } from "./who.js";

/** @import { Clock, Draft, Event, JobState, Person, Sheet } from "../core/types.js" */

/** @import { Shown } from "../core/crossing.js" */
/** @import { Place } from "../core/events.js" */
/** @typedef {{sheet: Sheet, state: JobState, last: Place?, apart: Shown[], names: Record<string, string>}} Standing */
/** @typedef {import("./who.js").Seat} Seat */
/** @typedef {Standing & {clock: Clock, person: Person?, seat: Seat, truth: import("./truth.js").Truth}} Progress `person` reads it */

export const ALL = ["device", "jobs", "sheets", "states", "events", "shelf", "photos"];

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
export async function standing(transaction, job) {
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
