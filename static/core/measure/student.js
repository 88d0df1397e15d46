/**
 * What few readings can say of their own scatter (JCGM 100:2008, annex G): Student's t, and when a scatter is new.
 *
 * With the scatter s told from n readings alone, 2·s/√n would hold the true value less often than 95 times in a hundred:
 * 70 times for two readings. So s is widened until U = 2u keeps its word.
 */

import { COVERAGE } from "./instruments.js";

/** The 97.5 % points of Student's t for 1 to 10 degrees of freedom. */
const FROM_TABLE = [12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228];

const Z975 = 1.959964;
const Z95 = 1.644854;

/**
 * By how much a standard uncertainty with so many degrees of freedom is widened, so that twice it is a 95 % one.
 * @param {number} freedom
 */
export function widening(freedom) {
  if (freedom <= FROM_TABLE.length) return FROM_TABLE[freedom - 1] / COVERAGE;
  // The first terms of Student's t about the normal distribution.
  const [z, z3] = [Z975, Z975 * Z975 * Z975];
  const z5 = z3 * z * z;
  const [first, second] = [(z3 + z) / 4, (5 * z5 + 16 * z3 + 3 * z) / 96];
  const third = (3 * z5 * z * z + 19 * z5 + 17 * z3 - 15 * z) / 384;
  const t = z + (first + (second + third / freedom) / freedom) / freedom;
  return Math.max(1, t / COVERAGE);
}

/**
 * Whether residuals are larger than the stated u explains: RMS² above the 95 % point of u²·χ²/ν.
 * @param {number} rms @param {number} u @param {number} freedom
 */
export function exceeds(rms, u, freedom) {
  const spread = 2 / (9 * freedom);
  const root = 1 - spread + Z95 * Math.sqrt(spread);
  return rms * rms > u * u * root * root * root;
}
