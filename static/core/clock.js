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
  if (before.boot === after.boot && after.mono_s >= before.mono_s) {
    return [rounded(after.mono_s - before.mono_s, 3), false];
  }
  const guess = (Date.parse(after.at) - Date.parse(before.at)) / 1000;
  return [rounded(Math.min(Math.max(guess, 0), LONGEST_GUESS_S), 3), true];
}
