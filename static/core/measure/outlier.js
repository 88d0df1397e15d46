/**
 * The odd one among repeated readings of one thing: Grubbs' test (ISO 5725-2:2019, 7.3.4) at the 1 % level.
 *
 * It assumes that the others are normally scattered about one value, and looks for one odd reading, not for two. Readings
 * are rounded to what a scale shows, so that two of three are often equal and the third looks far away; therefore the odd
 * one must also lie farther from the mean of the others than the instrument's own U explains.
 */

import { fsum } from "./fraction.js";
import { COVERAGE, repeated } from "./instruments.js";

/** Of two readings that differ, nobody can say which is the odd one. */
export const FEWEST = 3;
/** Two-sided 1 % points for 3 to 30 readings. */
const CRITICAL = [
  1.1547, 1.4963, 1.7637, 1.9728, 2.1391, 2.2744, 2.3868, 2.4821, 2.5641, 2.6357, 2.699, 2.7554, 2.8061, 2.8521, 2.894,
  2.9325, 2.968, 3.0008, 3.0314, 3.0599, 3.0866, 3.1117, 3.1353, 3.1577, 3.1788, 3.1989, 3.2179, 3.2361,
];

/**
 * Whether two readings (or one and the mean of others) differ by more than the instrument's own U explains.
 * @param {number} difference @param {number} uInstrument
 */
export function apart(difference, uInstrument) {
  return Math.abs(difference) > COVERAGE * Math.sqrt(2) * uInstrument;
}

/**
 * The place of the one reading that does not go with the others, or null where no single one does not.
 * @param {number[]} readings @param {number} uInstrument
 */
export function oddOne(readings, uInstrument) {
  const count = readings.length;
  if (count < FEWEST || count >= FEWEST + CRITICAL.length) return null;
  const { mean, s } = repeated(readings);
  const away = readings.map((reading) => Math.abs(reading - mean));
  const place = away.indexOf(Math.max(...away));
  if (away[place] <= CRITICAL[count - FEWEST] * s) return null;
  const others = (fsum(readings) - readings[place]) / (count - 1);
  return apart(readings[place] - others, uInstrument) ? place : null;
}
