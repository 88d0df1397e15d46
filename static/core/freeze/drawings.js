/**
 * The drawings of a sheet, and what each of them depends on.
 *
 * Nothing is drawn here. The shelf carries the drawings of every vehicle ready made, in layers, each under a key that
 * says all it was made from; see webapp/core/freeze/drawings.py, which makes the same keys.
 */

import { NotFound } from "../errors.js";
import { INCHES } from "../lengths.js";
import { canonical } from "../sheet.js";
import { pointsOf } from "./measures.js";

/** @import { Library, Procedure, Vehicle } from "../types.js" */

/**
 * @typedef {(string | {of: string, text: string})[]} Pieces text for every job, and text for those alone that have a
 *   certain calibration
 */

/** Of a measurement, what a drawing shows; where labels are scanned, that the stand itself is there. */
const USED = ["method", "track_mm", "bar_mm", "hubs", "target", "stands"];

/**
 * The key of the drawing of that name: `places` where targets stand, `given` what is measured, or the area.
 * @param {string} name @param {Record<string, number>} outline @param {Record<string, any>[]} places
 * @param {Record<string, any>} given @param {Library} library whose unit lengths are written in
 */
function keyOf(name, outline, places, given, library) {
  return canonical({ drawing: name, outline, places, given, ...inUnit(library) });
}

/**
 * The unit that is said; mm are not, so that what a sheet in mm is called hangs on no setting.
 * @param {Library} library
 */
export function inUnit({ unit }) {
  return unit === INCHES ? { unit } : {};
}

/** @param {Library} library @param {Record<string, number>} outline @param {Record<string, number>?} area */
export function areaKey(library, outline, area) {
  return keyOf("area", outline, [], area ?? {}, library);
}

/**
 * The points to chalk before a floor survey are those it will read; round them every target's place.
 * @param {Library} library @param {Vehicle} vehicle @param {Record<string, number>} outline @param {Procedure} procedure
 */
export function floorKey(library, vehicle, outline, procedure) {
  const step = procedure.steps.find((/** @type {any} */ one) => one.measure?.method === "floor");
  const given = { points: step ? pointsOf(step.measure) : [], spots: spotsOf(library, vehicle) };
  return keyOf("floor", outline, [], given, library);
}

/** @param {Library} library @param {Vehicle} vehicle */
function spotsOf({ catalogue, procedures }, vehicle) {
  const of = [...procedures.keys()].filter((name) => Object.hasOwn(vehicle.specs, name));
  return of.flatMap((name) =>
    vehicle.specs[name].placements.map((/** @type {any} */ { spot, x, y }) => ({
      of: name,
      x_mm: x,
      y_mm: y,
      name: catalogue.spots[spot].name,
    })),
  );
}

/**
 * @param {Library} library @param {string} name @param {Record<string, number>} outline
 * @param {Record<string, any>[]} places @param {Record<string, any>} measure
 */
export function figureKey(library, name, outline, places, measure) {
  const used = USED.filter((part) => Object.hasOwn(measure, part)).map((part) => [part, measure[part]]);
  return keyOf(name, outline, places, Object.fromEntries(used), library);
}

/**
 * The drawing of that key as the sheet of a job with these calibrations has it. Throws NotFound where there is none.
 * @param {Library} library @param {string} key @param {string[]} calibrations
 * @returns {{svg: string, alt: string}}
 */
export function forJob({ drawings }, key, calibrations) {
  if (!Object.hasOwn(drawings, key)) {
    const { drawing } = JSON.parse(key);
    const message = `drawing=${drawing} of this vehicle is not on the phone; connect to the shop once, then start`;
    throw new NotFound("drawing-missing", "drawing", message);
  }
  const { svg, alt } = drawings[key];
  return { svg: seenFor(svg, calibrations), alt: seenFor(alt, calibrations) };
}

/** @param {Pieces} pieces @param {string[]} calibrations */
function seenFor(pieces, calibrations) {
  return pieces.map((one) => (typeof one === "string" ? one : calibrations.includes(one.of) ? one.text : "")).join("");
}
