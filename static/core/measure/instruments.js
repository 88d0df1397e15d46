/**
 * How sure a reading is: the instrument's part (type B) and the repeats' part (type A), combined (JCGM 100).
 *
 * The figures here are the usual ones of the trade; a shop's own equipment list may state better or worse ones.
 */

import { BadInput } from "../errors.js";
import { fsum } from "./fraction.js";

/** Expanded uncertainty U = 2u, about 95 % of readings. */
export const COVERAGE = 2;

/** How errors are spread within ±half-width: equally likely, or rarer towards the ends; u = half-width over the root. */
export const SHAPES = new Map([
  ["rectangular", 3],
  ["triangular", 6],
]);

/** The kinds of instrument that a step may ask for, each with the unit that it reads. */
export const UNITS = new Map([
  ["tape", "mm"],
  ["scale", "mm"],
  ["plumb-bob", "mm"],
  ["distance-meter", "mm"],
  ["inclinometer", "deg"],
  ["tyre-gauge", "kPa"],
  ["light-meter", "lx"],
]);

/**
 * A measuring instrument whose error lies within ±(limit + limitPerM · L), L the reading in metres rounded up.
 *
 * As a rule every value in that interval is taken to be equally likely (rectangular). A certificate's expanded
 * uncertainty U has the shape `expanded`, and then u = U / k.
 */
class Instrument {
  /**
   * @param {string} kind @param {string} unit @param {number} limit @param {number} limitPerM @param {string} shape
   * @param {number} k
   */
  constructor(kind, unit, limit, limitPerM = 0, shape = "rectangular", k = 2) {
    this.kind = kind;
    this.unit = unit;
    this.limit = limit;
    this.limitPerM = limitPerM;
    this.divisor = shape === "expanded" ? k : Math.sqrt(SHAPES.get(shape) ?? 3);
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
    return this.halfWidth(reading) / this.divisor;
  }
}

/**
 * An instrument of the shop's own, its accuracy as the kit states it.
 * @param {string} kind @param {{shape: string, half_width: number, per_m: number, k: number?}} accuracy
 */
export function instrumentOf(kind, { shape, half_width, per_m, k }) {
  return new Instrument(kind, UNITS.get(kind) ?? "", half_width, per_m, shape, k ?? 2);
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
