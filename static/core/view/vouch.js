/** What waits for a supervisor: the step with what was recorded at it, the list of all such, and who may vouch for it. */

import { doerOf } from "../act.js";
import { stepOf } from "../fold.js";
import { mayCountersign } from "../kinds/countersign.js";
import { sums } from "../late.js";
import { stateOf } from "../state.js";
import { facts } from "./facts.js";
import { asRead } from "./figures.js";
import { frame } from "./frame.js";

/** @import { Clock, JobState, Person, Say, Sheet, Step, StepState, View } from "../types.js" */

const NEVER = { at: "", mono_s: 0, boot: "" };

/**
 * Beside a step that waits: whose work it is, what was answered, read and photographed.
 * @param {Sheet} sheet @param {JobState} state @param {Step} step @param {Say} say
 * @returns {View}
 */
export function vouchView(sheet, state, step, say) {
  const was = stateOf(state, step.id);
  const told = [...readings(step, was, say), ...facts(step, was, say)];
  const doer = doerOf(sheet, state, step.id);
  const photos = was.photos.map((one) => ({ src: `/photos/${one}.jpg` }));
  return { vouch: { doer, facts: told, has_facts: told.length > 0, photos, mine: false } };
}

/**
 * Each reading as it was taken.
 * @param {Step} step @param {StepState} was @param {Say} say
 * @returns {string[]}
 */
function readings(step, was, say) {
  if (!was.measured) return [];
  const read = was.measured.readings;
  /** @type {[string, string, {unit: string}][]} */
  const fields = sums().fields(step.measure);
  return fields
    .filter(([name]) => Object.hasOwn(read, name))
    .map(([name, label, { unit }]) => {
      const text = asRead(read[name], unit, step.measure.unit);
      return `${label || say(`reading-${name}`)} ${say("as-it-is", { text })}`;
    });
}

/**
 * The page with the ways to accept and to send back, for a supervisor whose work it is not.
 * @param {View} page @param {Person?} reader
 * @returns {View}
 */
export function forWitness(page, reader) {
  const vouch = page.step?.vouch;
  if (!vouch || !mayVouch(reader, vouch.doer)) return page;
  return { ...page, step: { ...page.step, vouch: { ...vouch, mine: true } } };
}

/** @param {Person?} reader @param {string?} doer */
export function mayVouch(reader, doer) {
  return mayCountersign(reader) && doer !== null && reader.code !== doer;
}

/**
 * A job that waits for a supervisor; null for one that does not. `doer` is whose work waits.
 * @param {Sheet} sheet @param {JobState} state @param {Record<string, string>} names @param {Say} say
 * @returns {View?}
 */
export function waitingRow(sheet, state, names, say) {
  const step = state.current === null ? null : stepOf(sheet, state.current);
  if (state.phase !== "open" || !step) return null;
  const was = stateOf(state, step.id);
  if (was.status !== "held" && step.kind !== "countersign") return null;
  const at = frame(sheet, state, state.clock ?? NEVER, say);
  const doer = doerOf(sheet, state, step.id);
  const title = at.vehicle || sheet.job.vin || say("today-vehicle-unknown");
  const by = (doer && names[doer]) || say("apart-by-nobody");
  return { url: at.url, order: at.order, title, do: step.do, by, doer };
}

/** @param {View[]} rows @returns {View} */
export function waitingView(rows) {
  return { waiting: { rows, has_rows: rows.length > 0 } };
}
