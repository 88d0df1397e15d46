/** Floor survey: the least-squares plane z = a + b·x + c·y through height readings, and its height at a spot. */

import { BadInput } from "../errors.js";
import { number } from "../numbers.js";
import { fsum } from "./fraction.js";
import { surrounds } from "./hull.js";
import { Range } from "./reading.js";
import { exceeds, widening } from "./student.js";

/**
 * @typedef {{x_mm: number, y_mm: number}} Spot
 * @typedef {{x_mm: number, y_mm: number, height_mm: number}} FloorPoint upwards positive, from any fixed datum
 * @typedef {{height_mm: number, u_mm: number}} SpotHeight
 * @typedef {{a_mm: number, along_mm_per_m: number, across_mm_per_m: number, count: number, middle: Spot,
 *   spread: [number, number, number]}} Plane
 *   middle: the readings' centre; spread: the inverse of their scatter about it
 * @typedef {{plane: Plane, residuals_mm: number[], rms_mm: number, spots: SpotHeight[]}} FloorSurvey
 *   residuals: reading minus plane, in the order of the readings
 */

export const BAY_MM = new Range("mm", -50_000, 50_000);
export const HEIGHT_MM = new Range("mm", -5_000, 5_000);
export const FLOOR_U_MM = new Range("mm", 0.001, 50);
export const MOST_POINTS = 1_000;
/** Points count as lying on one line when the band they fill is narrower than about 1/1000 of its length. */
const NARROWEST = 1e-6;

/**
 * The floor and its height at each spot.
 *
 * u_mm: standard uncertainty of one height reading. The scatter s used for the spots is the larger of it and the RMS
 * (n - 3 degrees of freedom; 0 for three points, which any plane fits).
 * Throws BadInput for fewer than 3 points, points on one line, and a spot that the points do not surround.
 * @param {FloorPoint[]} points @param {Spot[]} spots @param {number} u_mm
 * @returns {FloorSurvey}
 */
export function surveyFloor(points, spots, u_mm) {
  const plane = fitPlane(points);
  for (const [index, spot] of spots.entries()) {
    if (!surrounds(points.map(xy), xy(spot))) throw notSurrounded(index, spot);
  }
  const residuals_mm = points.map((point) => point.height_mm - heightMm(plane, point.x_mm, point.y_mm));
  const spare = points.length - 3;
  const rms_mm = spare ? Math.sqrt(fsum(residuals_mm.map((residual) => residual * residual)) / spare) : 0;
  const s_mm = spare && exceeds(rms_mm, u_mm, spare) ? rms_mm * widening(spare) : u_mm;
  const heights = spots.map(({ x_mm, y_mm }) => ({
    height_mm: heightMm(plane, x_mm, y_mm),
    u_mm: s_mm * Math.sqrt(leverage(plane, x_mm, y_mm)),
  }));
  return { plane, residuals_mm, rms_mm, s_mm, spots: heights };
}

/** @param {FloorSurvey} survey */
export function largestResidualMm(survey) {
  return Math.max(...survey.residuals_mm.map(Math.abs));
}

/** @param {Plane} plane @param {number} x_mm @param {number} y_mm */
export function heightMm(plane, x_mm, y_mm) {
  return plane.a_mm + (plane.along_mm_per_m * x_mm + plane.across_mm_per_m * y_mm) / 1000;
}

/**
 * vᵀ(AᵀA)⁻¹v for v = (1, x, y): the variance of the plane's height there, in units of s².
 * @param {Plane} plane @param {number} x_mm @param {number} y_mm
 */
export function leverage(plane, x_mm, y_mm) {
  const [x, y] = [x_mm - plane.middle.x_mm, y_mm - plane.middle.y_mm];
  const [xx, xy, yy] = plane.spread;
  return 1 / plane.count + xx * x * x + 2 * xy * x * y + yy * y * y;
}

/**
 * The least-squares plane. Working from the points' centre keeps the sums well-conditioned.
 * @param {FloorPoint[]} points
 * @returns {Plane}
 */
export function fitPlane(points) {
  const count = points.length;
  if (count < 3) {
    throw new BadInput("too-few-points", "points", `points has ${count} readings, but a plane needs at least 3`);
  }
  const x0 = fsum(points.map((point) => point.x_mm)) / count;
  const y0 = fsum(points.map((point) => point.y_mm)) / count;
  const z0 = fsum(points.map((point) => point.height_mm)) / count;
  const away = points.map((point) => [point.x_mm - x0, point.y_mm - y0, point.height_mm - z0]);
  const [xx, xy, yy] = [away.map(([x]) => x * x), away.map(([x, y]) => x * y), away.map(([, y]) => y * y)].map(fsum);
  const [xz, yz] = [away.map(([x, , z]) => x * z), away.map(([, y, z]) => y * z)].map(fsum);
  const area = xx * yy - xy * xy;
  if (area <= NARROWEST * (xx + yy) * (xx + yy)) {
    const advice = "take readings on both sides of the vehicle, so that the fall across is seen";
    throw new BadInput("points-on-one-line", "points", `points lie on one line: ${advice}`);
  }
  const [b, c] = [(yy * xz - xy * yz) / area, (xx * yz - xy * xz) / area];
  const middle = { x_mm: x0, y_mm: y0 };
  const spread = /** @type {[number, number, number]} */ ([yy / area, -xy / area, xx / area]);
  return { a_mm: z0 - b * x0 - c * y0, along_mm_per_m: 1000 * b, across_mm_per_m: 1000 * c, count, middle, spread };
}

/**
 * @param {Spot} spot
 * @returns {import("./hull.js").XY}
 */
function xy(spot) {
  return [spot.x_mm, spot.y_mm];
}

/** @param {number} index @param {Spot} spot */
function notSurrounded(index, spot) {
  const where = `spots[${index}]=(${number(spot.x_mm)}, ${number(spot.y_mm)})`;
  const advice = "take readings beyond it, or move the spot inside them";
  return new BadInput("spot-not-surrounded", `spots[${index}]`, `${where} must be surrounded by the points: ${advice}`);
}
