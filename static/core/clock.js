/** Intervals between two moments, whatever the clocks did in between. No clock is read here. */

import { rounded } from "./numbers.js";

/** @import { Clock } from "./types.js" */

/**
 * Where the steady clock broke (a reboot, another phone), nobody can tell work from a night's rest; more than this
 * is not believed.
 */
export const LONGEST_GUESS_S = 12 * 3600;

/**
 * Seconds from one moment to the other, and whether that is an estimate from the wall clock. Never negative.
 * @param {Clock} before @param {Clock} after
 * @returns {[number, boolean]}
 */
export function intervalS(before, after) {
  if (goesOn(before, after)) return [rounded(after.mono_s - before.mono_s, 3), false];
  return [believed(apartS(before, after)), true];
}

/**
 * Seconds to count between two events, whether that is an estimate, and how far what was counted is then ahead of the
 * wall clock. `elsewhere`: they come from two phones, whose clocks may differ and which may have worked at once.
 *
 * A guess counts only what lies beyond the latest moment that was counted to, so that phones taking turns never count
 * more than the wall did. One phone's own clock set back is no such moment: it just begins anew.
 * @param {Clock} before @param {Clock} after @param {number} ahead_s @param {boolean} elsewhere
 * @returns {[number, boolean, number]}
 */
export function toldS(before, after, ahead_s, elsewhere) {
  if (goesOn(before, after)) return [rounded(after.mono_s - before.mono_s, 3), false, ahead_s];
  const apart_s = apartS(before, after);
  const beyond_s = (elsewhere ? apart_s : Math.max(apart_s, 0)) - ahead_s;
  return [believed(beyond_s), true, rounded(Math.max(-beyond_s, 0), 3)];
}

/** @param {Clock} before @param {Clock} after */
function goesOn(before, after) {
  return before.boot === after.boot && after.mono_s >= before.mono_s;
}

/** @param {number} guess_s */
function believed(guess_s) {
  return rounded(Math.min(Math.max(guess_s, 0), LONGEST_GUESS_S), 3);
}

/** @param {Clock} before @param {Clock} after */
function apartS(before, after) {
  return (Date.parse(after.at) - Date.parse(before.at)) / 1000;
}
