/**
 * Heights read up from the floor, held against limits that count from the plane the tyres stand on.
 *
 * A target's centre is specified above the plane of the tyre contacts; a tape or a stand's scale starts at the floor below
 * the target. So where the floor lies lower than that plane there, the limits of the reading lie that much higher, and how
 * sure the survey is of it joins how sure the tape is.
 */

import { rounded } from "../numbers.js";

/** @typedef {Record<string, any>} Found */

/**
 * Whether the step is the floor survey that tells how the floor falls from the tyres to the targets.
 * @param {Found} step
 */
export function surveysContacts({ kind, measure }) {
  return kind === "measure" && (measure.contacts ?? []).length > 0;
}

/**
 * The measurement with its limits as the tape should read them; `survey` is what the floor survey found, if done.
 *
 * Each reading from the floor has then its `floor`: {fall_mm, u_mm}, or null where nothing is known of it.
 * @param {Found} measure @param {Found?} survey
 * @returns {Found}
 */
export function grounded(measure, survey) {
  if (!(measure.readings ?? []).some((/** @type {Found} */ one) => "above" in one)) return measure;
  const readings = measure.readings.map((/** @type {Found} */ one) => lifted(one, survey));
  const falls = new Map(readings.map((/** @type {Found} */ { name, floor }) => [name, floor?.fall_mm ?? 0]));
  const compare = measure.compare.map((/** @type {Found} */ one) => ({
    ...one,
    ...shifted(one, falls.get(one.of[0]) - falls.get(one.of[1])),
  }));
  return { ...measure, readings, compare };
}

/**
 * The fall to a tenth of a millimetre, which is finer than anybody reads a tape.
 * @param {Found} above @param {Found?} survey
 */
function floorAt(above, survey) {
  const there = survey?.spots.find((/** @type {Found} */ { x_mm, y_mm }) => x_mm === above.x_mm && y_mm === above.y_mm);
  if (there?.fall_mm === undefined) return null;
  // What a sum's last digits keep from being a half is a half too, so that phone and shop say the same.
  return { fall_mm: rounded(rounded(there.fall_mm, 6), 1), u_mm: there.u_fall_mm };
}

/** @param {Found} one @param {Found?} survey */
function lifted(one, survey) {
  if (!("above" in one)) return one;
  const floor = floorAt(one.above, survey);
  return { ...one, floor, ...(floor ? shifted(one, floor.fall_mm) : {}) };
}

/** @param {Found} one @param {number} byMm */
function shifted(one, byMm) {
  const [low, high] = [one.low, one.high].map((limit) => (limit === null ? null : rounded(limit + byMm, 6)));
  return { low, high };
}
