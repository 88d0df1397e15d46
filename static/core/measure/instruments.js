/**
 * How sure a reading is: the instrument's part (type B) and the repeats' part (type A), combined (JCGM 100).
 *
 * The figures here are the usual ones of the trade; a shop's own equipment list may state better or worse ones.
 */

import { BadInput } from "../errors.js";
import { fsum } from "./fraction.js";

/** Expanded uncertainty U = 2u, about 95 % of readings. */
export const COVERAGE = 2;

/**
 * A measuring instrument whose error lies within ±(limit + limitPerM · L), L the reading in metres rounded up.
 *
 * Every value in that interval is taken to be equally likely (rectangular), so u is its half-width over √3.
 */
class Instrument {
  /** @param {string} kind @param {string} unit @param {number} limit @param {number} limitPerM */
  constructor(kind, unit, limit, limitPerM = 0) {
    this.kind = kind;
    this.unit = unit;
    this.limit = limit;
    this.limitPerM = limitPerM;
  }

  /**
   * The largest error at this reading, in the instrument's unit; only a tape's grows with length.
   * @param {number} reading
   */
  halfWidth(reading) {
    return this.limit + this.limitPerM * Math.ceil(Math.abs(reading) / 1000);
  }

  /**
   * The type B standard uncertainty at this reading, in the instrument's unit.
   * @param {number} reading
   */
  u(reading) {
    return this.halfWidth(reading) / Math.sqrt(3);
  }
}

/** @type {Map<string, Instrument>} */
export const INSTRUMENTS = new Map(
  [
    new Instrument("tape-class-ii", "mm", 0.3, 0.2),
    new Instrument("scale", "mm", 0.5),
    new Instrument("plumb-bob", "mm", 1),
    new Instrument("inclinometer", "deg", 0.1),
  ].map((one) => [one.kind, one]),
);

/**
 * Mean, scatter s and the mean's type A uncertainty s/√n of at least two readings. One reading says nothing of its own
 * scatter: refused.
 * @param {number[]} readings
 */
export function repeated(readings) {
  const count = readings.length;
  if (count < 2) {
    const message = `readings has ${count} values, but their scatter can only be told from 2 or more`;
    throw new BadInput("too-few-readings", "readings", message);
  }
  const mean = fsum(readings) / count;
  const s = Math.sqrt(fsum(readings.map((reading) => (reading - mean) * (reading - mean))) / (count - 1));
  return { count, mean, s, u: s / Math.sqrt(count) };
}

/**
 * The standard uncertainty of a sum of independent parts. Scale each by its sensitivity beforehand.
 * @param {number[]} uncertainties
 */
export function combined(uncertainties) {
  return Math.sqrt(fsum(uncertainties.map((u) => u * u)));
}
