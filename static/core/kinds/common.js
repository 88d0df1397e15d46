/** What the kinds of step share: the end of a step, and texts that have to be given. */

import { BadInput } from "../errors.js";
import { lengthOf, strip } from "../text.js";

/** @import { Event, Given, Moment, Step, StepState } from "../types.js" */

export const LONGEST_TEXT = 2000;

/**
 * Whether a supervisor must countersign this step when this person has done it.
 * @param {Step} step @param {Moment} moment
 */
export function heldAfter(step, moment) {
  return step.hold === "everyone" || (step.hold === "apprentice" && moment.supervised !== false);
}

/**
 * The step done, or held where the event says that a countersign is owed.
 * @param {StepState} was @param {Event} event @param {Partial<StepState>} [changes]
 * @returns {StepState}
 */
export function ended(was, event, changes = {}) {
  return { ...was, status: event.data.held ? "held" : "done", done_at: event.at, done_by: event.person, ...changes };
}

/**
 * A text that has to be given. Throws BadInput: `text-missing` or `text-too-long`.
 * @param {Given} given @param {string} field @param {string} what
 */
export function words(given, field, what) {
  const text = strip(given[field] ?? "");
  if (!text) throw new BadInput("text-missing", field, `${field} is empty; say ${what}`);
  const length = lengthOf(text);
  if (length > LONGEST_TEXT) {
    const message = `${field} has ${length} characters; at most ${LONGEST_TEXT} are kept`;
    throw new BadInput("text-too-long", field, message);
  }
  return text;
}
