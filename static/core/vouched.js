/** Countersigns that the shop has found not to be right: a job does not end while one of them stands. */

import { stateOf } from "./state.js";

/** @import { Shown } from "./crossing.js" */
/** @import { JobState } from "./types.js" */

/**
 * The steps whose countersign stands and has a PIN that did not hold beside it. One that was given anew counts.
 * @param {JobState} state @param {Shown[]} found
 * @returns {string[]}
 */
export function unproven(state, found) {
  return found
    .filter(({ what, event }) => what === "pin" && event.kind === "countersigned" && stands(state, event))
    .map(({ event }) => /** @type {string} */ (event.step));
}

/** @param {JobState} state @param {Shown["event"]} event */
function stands(state, event) {
  const was = stateOf(state, event.step);
  return was.status === "done" && was.attempt === event.attempt && was.turn === event.turn + 1;
}
