/**
 * Inside, outside, or too close to call: a value against its limits, with a guard band of U = 2u.
 *
 * The rule (ISO 14253-1, ILAC-G8): inside if low + g <= value <= high - g; outside if value < low - g or
 * value > high + g; otherwise too close to call. The boundaries are exact for decimal readings.
 */

import { BadInput } from "../errors.js";
import { number } from "../numbers.js";
import { erfc } from "./erfc.js";
import { Fraction } from "./fraction.js";
import { COVERAGE } from "./instruments.js";
import { widening } from "./student.js";

/**
 * @typedef {Fraction | null} Limit
 * @typedef {"inside" | "outside" | "too-close-to-call"} Verdict
 * @typedef {{verdict: Verdict, guard: number, p_inside: number}} Decision
 *   the guard band the verdict was made with, and the probability that the true value lies inside
 */

/** Nobody measures a thing more often than this; from here on a better method is asked for. */
export const MOST_REPEATS = 30;

const ZERO = new Fraction(0n);
const TWICE = new Fraction(BigInt(COVERAGE));

/**
 * The verdict on a value with standard uncertainty u; either limit may be missing, but not both.
 *
 * Throws BadInput where low > high or both are missing.
 * @param {Fraction} value @param {Fraction} u @param {Limit} low @param {Limit} high
 * @returns {Decision}
 */
export function decide(value, u, low, high) {
  checkLimits(low, high);
  const guard = u.times(TWICE);
  return {
    verdict: verdictOn(value, guard, low, high),
    guard: guard.toNumber(),
    p_inside: pInside(value, u, low, high),
  };
}

/** @param {Limit} low @param {Limit} high */
export function checkLimits(low, high) {
  if (low === null && high === null) {
    throw new BadInput("no-limit", "low", "low and high are both null: give at least one limit to decide against");
  }
  if (low !== null && high !== null && low.compare(high) > 0) {
    const message = `low=${number(low.toNumber())} must not be more than high=${number(high.toNumber())}`;
    throw new BadInput("limits-crossed", "low", message);
  }
}

/**
 * @param {Fraction} value @param {Fraction} guard @param {Limit} low @param {Limit} high
 * @returns {Verdict}
 */
function verdictOn(value, guard, low, high) {
  if (low !== null && value.compare(low.minus(guard)) < 0) return "outside";
  if (high !== null && value.compare(high.plus(guard)) > 0) return "outside";
  const clearOfLow = low === null || value.compare(low.plus(guard)) >= 0;
  const clearOfHigh = high === null || value.compare(high.minus(guard)) <= 0;
  return clearOfLow && clearOfHigh ? "inside" : "too-close-to-call";
}

/**
 * The probability that the true value lies within the limits, normally distributed about the reading.
 * @param {Fraction} value @param {Fraction} u @param {Limit} low @param {Limit} high
 */
export function pInside(value, u, low, high) {
  const below = low === null ? 0 : shareBeyond(value.minus(low).over(u).toNumber());
  const above = high === null ? 0 : shareBeyond(high.minus(value).over(u).toNumber());
  return Math.max(0, 1 - below - above);
}

/** @param {number} standardUncertainties */
function shareBeyond(standardUncertainties) {
  return erfc(standardUncertainties / Math.sqrt(2)) / 2;
}

/**
 * How many readings with this mean would settle a value that is too close to call; null if none would.
 *
 * u_instrument: the part that repeating does not reduce (type B). s: the scatter of single readings (type A), so that n
 * readings have u² = u_instrument² + (s·w)²/n, w widening what n readings can say of s (see student.js). null also where
 * more than MOST_REPEATS would be needed.
 * @param {Fraction} value @param {number} u_instrument @param {number} s @param {Limit} low @param {Limit} high
 */
export function repeatsToSettle(value, u_instrument, s, low, high) {
  checkLimits(low, high);
  const room = roomOf(value, low, high);
  const toSpare = square(room.over(TWICE)).minus(square(Fraction.ofBinary(u_instrument)));
  // Inside takes its boundary in, outside does not: there a guard band just as wide as the room settles nothing.
  const most = room.compare(ZERO) > 0 ? 0 : -1;
  const settled = (/** @type {number} */ count) => {
    const scatter = square(Fraction.ofBinary(s * widening(count - 1))).over(new Fraction(BigInt(count)));
    return scatter.compare(toSpare) <= most;
  };
  if (toSpare.compare(ZERO) <= 0 || !settled(MOST_REPEATS)) return null;
  let [few, enough] = [1, MOST_REPEATS];
  while (enough - few > 1) {
    const middle = Math.trunc((few + enough) / 2);
    [few, enough] = settled(middle) ? [few, middle] : [middle, enough];
  }
  return enough;
}

/** @param {Fraction} value */
function square(value) {
  return value.times(value);
}

/**
 * The widest guard band that still gives a verdict: to the nearest limit, negative beyond one.
 * @param {Fraction} value @param {Limit} low @param {Limit} high
 */
function roomOf(value, low, high) {
  const gaps = [low && value.minus(low), high?.minus(value)].filter((gap) => gap instanceof Fraction);
  return gaps.reduce((least, gap) => (gap.compare(least) < 0 ? gap : least));
}
