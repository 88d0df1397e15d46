/** A step that waits for a supervisor, with what was recorded at it. */

import { sums } from "../late.js";
import { doerOf } from "../sofar.js";
import { stateOf } from "../state.js";
import { facts } from "./facts.js";
import { asRead } from "./figures.js";

/** @import { JobState, Say, Sheet, Step, StepState, View } from "../types.js" */

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
