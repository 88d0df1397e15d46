/** A tap: read, guarded, kept and folded in one transaction. */

import { act, isRepeat } from "../core/act.js";
import { Stale } from "../core/errors.js";
import { nextRound, place } from "../core/events.js";
import { apply } from "../core/fold.js";
import { unproven } from "../core/vouched.js";
import { chainOn, following, onChain } from "./chain.js";
import { readClock, today } from "./clock.js";
import { ask, transact } from "./database.js";
import { ALL, named, standing } from "./journal.js";
import { truthOf } from "./truth.js";
import { useIn } from "./who.js";

/** @import { Event, Person } from "../core/types.js" */
/** @import { Progress, Standing } from "./journal.js" */
/** @typedef {Progress & {stale: boolean}} After what the job has come to; `stale`: by others, and this tap changed nothing */
/** @typedef {{sha256: string, media: string, bytes: ArrayBuffer}} Photo */
/**
 * @typedef {{id: string, photo: Photo?, witness: Person?, seal: object?, checked?: boolean, answer?: {asked: string, text: string}}} Along what was made ready
 *   before the tap; `checked`: the shop has found the witness's PIN to be right; `answer`: in place of a seal, what their own
 *   phone was asked and answered
 */

/**
 * Keep what this form asks for. When it returns, the event is on the phone's disk.
 *
 * A tap that comes again under the same id is answered, and kept once: a worker may have ended before it could answer.
 *
 * Null where the phone does not hold the job. Throws BadInput or NotAllowed as `act` does, `phone-locked` where it is
 * locked; a stale page is an answer.
 * `draw` is begun while the disk takes the event: nothing that it makes may be shown before this returns.
 * @template T
 * @param {string} job @param {Record<string, string>} given @param {Along} along @param {(after: After) => Promise<T>} [draw]
 * @returns {Promise<(After & {drawn: Promise<T>})?>}
 */
export function tap(job, given, along, draw = nothing) {
  return onChain((end) => tapAfter(end, job, given, along, draw));
}

/** @returns {Promise<any>} */
const nothing = async () => undefined;

/**
 * The same, if `end` is the event that this phone made last; else nothing is done, and `behind` is what it knows of that.
 * @template T
 * @param {import("./chain.js").Link?} end @param {string} job @param {Record<string, string>} given @param {Along} along
 * @param {(after: After) => Promise<T>} draw
 * @returns {Promise<(After & {drawn: Promise<T>}) | {behind: any} | null>}
 */
async function tapAfter(end, job, given, { id, photo, witness, seal, checked, answer }, draw) {
  /** @type {{seq: number, line: string}?} */
  let written = null;
  const done = await transact(ALL, "readwrite", async (transaction) => {
    const after = await keep(transaction);
    if (!after || "behind" in after) return after;
    transaction.commit(); // at once, or the disk would begin only when all is drawn
    const drawn = draw(after);
    drawn.catch(() => undefined); // whoever waits for it hears of it; where the disk takes nothing, nobody does
    return { ...after, drawn };
  });
  if (written) chainOn(written); // worked out while the page is drawn
  return done;

  /** @param {IDBTransaction} transaction @returns {Promise<After | {behind: any} | null>} */
  async function keep(transaction) {
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
  }
}

/**
 * The steps whose countersign the shop has still to check, or has found not to be right.
 * @param {IDBTransaction} transaction @param {string} job @param {Standing} at
 */
async function unprovenIn(transaction, job, { state, apart }) {
  const waiting = await ask(transaction.objectStore("events").index("job-provisional").getAll([job, 1]));
  return [...waiting.map((/** @type {Event} */ one) => one.step ?? ""), ...unproven(state, apart)];
}
