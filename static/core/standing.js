/** What was recorded at a step that waits for a supervisor, as one text; and whether it still stands as it was asked. */

import { Stale } from "./errors.js";
import { number } from "./numbers.js";
import { doerOf, doneBefore } from "./sofar.js";
import { stateOf } from "./state.js";

/** @import { JobState, Sheet } from "./types.js" */
/** @import { Ask } from "./vouching.js" */

/**
 * What is vouched for at a step that waits, as one text: whose it is, since when, what was answered and read.
 * @param {Sheet} sheet @param {JobState} state @param {string} name
 */
export function standing(sheet, state, name) {
  const at = stateOf(state, name);
  const of = at.status === "held" ? name : (doneBefore(sheet, state, name) ?? "");
  const was = stateOf(state, of);
  const readings = was.measured?.readings ?? {};
  const read = Object.keys(readings)
    .sort()
    .map((one) => [one, number(readings[one])]);
  const { measured, outcome } = was;
  return JSON.stringify([
    ...[name, at.attempt, at.turn, of, was.attempt, was.done_by, was.done_at],
    ...[was.option, read, measured?.verdict ?? null, was.overruled_by, was.photos],
    was.placed.map(({ target, spot }) => [target ?? null, spot ?? null]),
    ...[outcome?.outcome ?? null, outcome?.text ?? null],
  ]);
}

/** What was asked counts no more. */
export function askOld() {
  const message =
    "answer: the step is not as it was when this was asked; show its code again and have it looked at anew";
  return new Stale("ask-old", "answer", message);
}

/**
 * Throw Stale (`ask-old`) where the step does not wait any more as it did when it was asked.
 * @param {Ask} ask @param {Sheet} sheet @param {JobState} state @param {string} stands
 */
export function needAsked(ask, sheet, state, stands) {
  const isSame = ask.job === sheet.job.id && ask.step === state.current && ask.stands === stands;
  if (!isSame || ask.doer !== doerOf(sheet, state, ask.step)) throw askOld();
}
