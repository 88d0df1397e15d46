/** Lengths as a shop writes them: in mm, or in inches with fractions to 1/16. What is kept and judged is in mm. */

import { rounded } from "./numbers.js";

export const INCHES = "in";
export const INCH_MM = 25.4;
const PARTS = 16;
const MINUS = "\u2212";
/** Between inches and their fraction: as wide as a blank, lest 5 1/16 be read as 51/16, and no place to break a line. */
const JOIN = "\u00a0";
/** What a sum's last digits add or take, in sixteenths; no limit moves by a whole sixteenth for it. */
const GRAIN = 1e-6;

/**
 * To the nearest sixteenth: 1500 as `59 1/16`.
 * @param {number} lengthMm
 */
export function inches(lengthMm) {
  return sixteenths(Math.floor((Math.abs(lengthMm) * PARTS) / INCH_MM + 0.5), lengthMm < 0);
}

/**
 * As it was read off a rule, by its fraction; what is no sixteenth, in decimals.
 * @param {number} lengthMm
 */
export function inchesRead(lengthMm) {
  const size = (Math.abs(lengthMm) * PARTS) / INCH_MM;
  if (Math.abs(size - rounded(size, 0)) < 0.001) return inches(lengthMm);
  return `${lengthMm < 0 ? MINUS : ""}${Number(rounded(Math.abs(lengthMm) / INCH_MM, 3).toFixed(3))}`;
}

/**
 * The widest limits in sixteenths that lie within these; in decimals where they are too close for any.
 * @param {number?} lowMm @param {number?} highMm
 * @returns {(string | null)[]}
 */
export function inchLimits(lowMm, highMm) {
  const low = lowMm === null ? null : Math.ceil((lowMm * PARTS) / INCH_MM - GRAIN);
  const high = highMm === null ? null : Math.floor((highMm * PARTS) / INCH_MM + GRAIN);
  if (low !== null && high !== null && low > high) return [inchesRead(lowMm ?? 0), inchesRead(highMm ?? 0)];
  return [low, high].map((one) => (one === null ? null : sixteenths(Math.abs(one), one < 0)));
}

/**
 * A length of floor as people pace it out: in whole inches, or in metres with one decimal.
 * @param {number} lengthMm @param {string} [unit]
 */
export function roomy(lengthMm, unit) {
  return unit === INCHES ? rounded(lengthMm / INCH_MM, 0) : rounded(lengthMm / 1000, 1);
}

/**
 * The unit of `roomy`.
 * @param {string} [unit]
 */
export function roomyUnit(unit) {
  return unit === INCHES ? INCHES : "m";
}

/** @param {number} count @param {boolean} negative */
function sixteenths(count, negative) {
  const whole = Math.floor(count / PARTS);
  let [part, parts] = [count % PARTS, PARTS];
  for (; part && part % 2 === 0; part /= 2) parts /= 2;
  const fraction = part ? `${part}/${parts}` : "";
  const text = [whole || !part ? String(whole) : "", fraction].filter(Boolean).join(JOIN);
  return `${negative && count ? MINUS : ""}${text}`;
}
