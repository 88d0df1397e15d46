/** What a job has come to: how a step is to be read in it, whose work waits, and what it would leave open. */

import { applies } from "./fold.js";
import { sums } from "./late.js";
import { stateOf } from "./state.js";

/** @import { JobState, Sheet, Step } from "./types.js" */

/**
 * A measure step as it is to be read in this very job: its heights corrected by the floor survey, its hub marks as far
 * apart as they were measured.
 * @param {Sheet} sheet @param {JobState} state @param {Step} step
 * @returns {Step}
 */
export function inJob(sheet, state, step) {
  const { grounded, spaced, spacings, surveysContacts } = sums();
  const known = sheet.steps
    .filter(({ kind }) => kind === "measure")
    .map((one) => ({ one, was: stateOf(state, one.id) }));
  const stands = known.filter(({ was }) => ["done", "held"].includes(was.status) && was.measured);
  const survey = stands.find(({ one }) => surveysContacts(one))?.was.measured ?? null;
  const apart = spacings(stands.map(({ one, was }) => [one.measure, /** @type {any} */ (was.measured)]));
  return { ...step, measure: spaced(grounded(step.measure, survey), apart) };
}

/**
 * Whose work waits at that step for a supervisor.
 * @param {Sheet} sheet @param {JobState} state @param {string} name
 * @returns {string?}
 */
export function doerOf(sheet, state, name) {
  const was = stateOf(state, name);
  return was.status === "held" ? was.done_by : doerBefore(sheet, state, name);
}

/**
 * Whoever did the last step before this one: theirs is the work that a countersign step vouches for.
 * @param {Sheet} sheet @param {JobState} state @param {string} name
 * @returns {string?}
 */
export function doerBefore(sheet, state, name) {
  return stateOf(state, doneBefore(sheet, state, name)).done_by;
}

/** The last step before this one that somebody did. @param {Sheet} sheet @param {JobState} state @param {string} name @returns {string?} */
export function doneBefore(sheet, state, name) {
  const names = sheet.steps.map((/** @type {Step} */ one) => one.id);
  const before = names.slice(0, names.indexOf(name)).reverse();
  const isDone = (/** @type {string} */ one) => stateOf(state, one).status === "done" && stateOf(state, one).done_by;
  return before.find(isDone) ?? null;
}

/**
 * What is begun anew when a supervisor sends this step back: the step; of a countersign step the one before it.
 * @param {Sheet} sheet @param {JobState} state @param {string} name
 */
export function sentBack(sheet, state, name) {
  if (stateOf(state, name).status === "held") return [name];
  const last = doneBefore(sheet, state, name);
  return last ? [last] : [];
}

/**
 * What a finished job would leave open: steps left undone and calibrations that were not run, each with its reason.
 * @param {Sheet} sheet @param {JobState} state
 */
export function leftOpen(sheet, state) {
  const found = [];
  for (const step of sheet.steps) {
    const was = stateOf(state, step.id);
    if (!applies(step, state.answers)) continue;
    if (was.status === "left-undone") {
      found.push({ step: step.id, do: step.do, what: "left-undone", reason: was.reason ?? "" });
    } else if (was.outcome?.outcome === "not-run") {
      found.push({ step: step.id, do: step.do, what: "not-run", reason: was.outcome.reason });
    }
  }
  return found;
}
