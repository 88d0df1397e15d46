/**
 * How far the hub marks of this very vehicle lie apart, as they were measured, for the sum that squares a stand to them.
 *
 * The spec's track has a tolerance, and marks within it may lie some millimetres farther apart than it says. Four tapes
 * that each tell the truth do not fit together if that is left out.
 */

import { FRONT, TRACK_MM } from "./square.js";

/** @typedef {Record<string, any>} Found */

/**
 * The hubs whose marks' distance was read, with it in mm. Of measurements that stand, each with what was found, a later
 * one counts.
 * @param {[Found, Found][]} measured
 */
export function spacings(measured) {
  /** @type {Record<string, number>} */
  const found = {};
  for (const [measure, was] of measured) {
    for (const { name, hubs } of measure.readings ?? []) {
      const value = hubs && was.parts.find((/** @type {Found} */ part) => part.name === name)?.value;
      if (value >= TRACK_MM.low && value <= TRACK_MM.high) found[hubs] = value;
    }
  }
  return found;
}

/**
 * The measurement by the method `square` with its hub marks as far apart as they were measured, where they were.
 * @param {Found} measure @param {Record<string, number>} apartMm
 * @returns {Found}
 */
export function spaced(measure, apartMm) {
  const apart = apartMm[measure.hubs ?? FRONT];
  if (measure.method !== "square" || apart === undefined) return measure;
  return { ...measure, track_mm: apart, track_measured: true };
}
