/** The pages beside the step at hand: the list of all steps, one step seen again, pause, something is wrong, more. */

import { applies, SETTLED, stepOf } from "../fold.js";
import { PAUSES, stateOf } from "../state.js";
import { causesView } from "./causes.js";
import { facts } from "./facts.js";
import { clock } from "./figures.js";
import { applicable, frame } from "./frame.js";
import { stepView } from "./steps.js";

/** @import { Clock, JobState, Say, Sheet, Step, StepState, View } from "../types.js" */

export const SHAPES = { done: "●", held: "◐", "left-undone": "⊗", open: "○" };

/**
 * All steps by section, each with its mark, its time and where it stands.
 * @param {Sheet} sheet @param {JobState} state @param {Clock} now @param {Say} say
 * @returns {View}
 */
export function stepsPage(sheet, state, now, say) {
  const rows = applicable(sheet, state).map((step, at) => ({ of: step.section, ...row(step, at + 1, state, say) }));
  const sections = [];
  for (const section of sheet.sections) {
    const steps = rows.filter((one) => one.of === section.id).map(({ of: _of, ...one }) => one);
    if (steps.length) sections.push({ title: section.title, steps });
  }
  return { ...frame(sheet, state, now, say), list: { sections } };
}

/** @param {Step} step @param {number} n @param {JobState} state @param {Say} say */
function row(step, n, state, say) {
  const was = stateOf(state, step.id);
  const here = step.id === state.current;
  return {
    id: step.id,
    n,
    do: step.do,
    shape: here ? "◆" : SHAPES[was.status],
    status: say(here ? "step-here" : `step-${was.status}`),
    here,
    time: was.worked_s ? clock(was.worked_s) : "",
    undone: was.undone ? say("step-undone", { count: was.undone }) : null,
  };
}

/**
 * One step seen again, with what was said and the way to undo it; null where the sheet has no such step.
 * @param {Sheet} sheet @param {JobState} state @param {string} name @param {Clock} now @param {Say} say
 * @returns {View?}
 */
export function stepPage(sheet, state, name, now, say) {
  const step = stepOf(sheet, name);
  if (!step || !applies(step, state.answers)) return null;
  const was = stateOf(state, name);
  const seen = {
    ...stepView(sheet, state, step, now, say),
    status: say(name === state.current ? "step-here" : `step-${was.status}`),
    shape: SHAPES[was.status],
    facts: facts(step, was, say),
    may_undo: state.phase === "open" && (was.status !== "open" || was.turn > 0),
  };
  return { ...frame(sheet, state, now, say), seen };
}

/**
 * @param {Sheet} sheet @param {JobState} state @param {Clock} now @param {Say} say
 * @returns {View}
 */
export function pausePage(sheet, state, now, say) {
  const reasons = PAUSES.map((value) => ({ value, label: say(`pause-${value}`) }));
  return { ...frame(sheet, state, now, say), pause: { reasons } };
}

/**
 * The known causes at the step in hand, each with its check and the step to go back to; or a text of one's own.
 * @param {Sheet} sheet @param {JobState} state @param {Clock} now @param {Say} say
 * @returns {View}
 */
export function troublePage(sheet, state, now, say) {
  const step = stepOf(sheet, state.current);
  const causes = causesView(step?.causes ?? [], say);
  const trouble = { ...atHand(state), do: step?.do ?? "", causes, has_causes: causes.length > 0 };
  return { ...frame(sheet, state, now, say), trouble };
}

/** @param {JobState} state */
function atHand(state) {
  const { attempt, turn } = stateOf(state, state.current);
  return { id: state.current, attempt, turn };
}

/**
 * Note, leave undone, abandon; and the notes so far.
 * @param {Sheet} sheet @param {JobState} state @param {Clock} now @param {Say} say
 * @returns {View}
 */
export function morePage(sheet, state, now, say) {
  const found = stepOf(sheet, state.current);
  const mayLeave = found && ![...SETTLED, "held"].includes(stateOf(state, state.current).status);
  const step = mayLeave ? { ...atHand(state), do: found.do } : null;
  const more = { step, notes: state.notes, has_notes: state.notes.length > 0 };
  return { ...frame(sheet, state, now, say), more };
}
