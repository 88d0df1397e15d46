/** Countersigns that the shop has found not to be right: a job does not end while one of them stands. */

import { stateOf } from "./state.js";

/** @import { Shown } from "./crossing.js" */
/** @import { JobState } from "./types.js" */

/** A supervisor's phone has answered, and the shop has not heard yet who had begun it. */
export const WAITS = "answer-waits";
const FOUND = ["pin", "answer", WAITS];

/**
 * The steps whose countersign stands and has a PIN or an answer that did not hold, or waits, beside it. One that was
 * given anew counts.
 * @param {JobState} state @param {Shown[]} found
 * @returns {string[]}
 */
export function unproven(state, found) {
  return standing(state, found).map(({ event }) => /** @type {string} */ (event.step));
}

/**
 * Whether a supervisor's phone has only to be heard of, and nothing is wrong with any countersign that stands.
 * @param {JobState} state @param {Shown[]} found
 */
export function unheard(state, found) {
  const given = standing(state, found);
  return given.length > 0 && given.every(({ what }) => what === WAITS);
}

/** @param {JobState} state @param {Shown[]} found */
function standing(state, found) {
  return found.filter(
    ({ what, event }) => FOUND.includes(what) && event.kind === "countersigned" && stands(state, event),
  );
}

/** @param {JobState} state @param {Shown["event"]} event */
function stands(state, event) {
  const was = stateOf(state, event.step);
  return was.status === "done" && was.attempt === event.attempt && was.turn === event.turn + 1;
}
