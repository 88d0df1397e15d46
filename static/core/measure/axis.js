/** The reference axis: the vehicle's centreline, its thrust line, and the angle between them. */

import { BadInput } from "../errors.js";
import { number, rounded } from "../numbers.js";
import { Range } from "./reading.js";

/**
 * @typedef {{x_mm: number, y_mm: number}} Point
 * @typedef {{left: Point, right: Point}} Axle
 * @typedef {{left_deg: number, right_deg: number}} RearToe toe-in positive
 * @typedef {{centreline_deg: number, thrust_deg: number?, thrust_line_deg: number?, origin: Point}} Axis
 *   turns are in the axes of the input, positive to the left; thrust_deg is from the centreline, positive right
 */

const AXLES_APART_MM = new Range("mm", 500, 10_000);
const SIDES_APART_MM = new Range("mm", 300, 4_000);
export const TOE_DEG = new Range("deg", -5, 5);

/**
 * The line through the midpoints of both axles, and the line the rear wheels drive along.
 *
 * Thrust angle = (left rear toe - right rear toe) / 2; toe-in positive, so a positive thrust angle points right.
 * Throws BadInput where the axles, or the two sides of one, are too near or too far apart, or are swapped.
 * @param {Axle} front @param {Axle} rear @param {RearToe?} toe
 * @returns {Axis}
 */
export function referenceAxis(front, rear, toe) {
  const origin = middle(front);
  const behind = middle(rear);
  const along = [origin.x_mm - behind.x_mm, origin.y_mm - behind.y_mm];
  checkApart(along, "rear", "the middles of front and rear", AXLES_APART_MM);
  checkSides(front, "front", along);
  checkSides(rear, "rear", along);
  const centreline_deg = Math.atan2(along[1], along[0]) * (180 / Math.PI);
  if (toe === null) return { centreline_deg, thrust_deg: null, thrust_line_deg: null, origin };
  const thrust_deg = (toe.left_deg - toe.right_deg) / 2;
  return { centreline_deg, thrust_deg, thrust_line_deg: withinHalfTurn(centreline_deg - thrust_deg), origin };
}

/**
 * @param {Axle} axle
 * @returns {Point}
 */
function middle({ left, right }) {
  return { x_mm: (left.x_mm + right.x_mm) / 2, y_mm: (left.y_mm + right.y_mm) / 2 };
}

/** @param {Axle} axle @param {string} name @param {number[]} along */
function checkSides({ left, right }, name, along) {
  const across = [left.x_mm - right.x_mm, left.y_mm - right.y_mm];
  checkApart(across, name, `${name}.left and ${name}.right`, SIDES_APART_MM);
  if (along[0] * across[1] - along[1] * across[0] <= 0) {
    const advice = "left and right, or front and rear, are swapped";
    throw new BadInput("sides-swapped", name, `${name}.left lies to the right of ${name}.right: ${advice}`);
  }
}

/** @param {number[]} between @param {string} field @param {string} what @param {Range} allowed */
function checkApart(between, field, what, allowed) {
  const gap_mm = Math.sqrt(between[0] * between[0] + between[1] * between[1]);
  if (!(allowed.low <= gap_mm && gap_mm <= allowed.high)) {
    const message = `${what} are ${number(rounded(gap_mm, 1))} mm apart and must lie within ${allowed} mm`;
    throw new BadInput("out-of-range", field, message);
  }
}

/** @param {number} angle_deg */
function withinHalfTurn(angle_deg) {
  if (angle_deg > 180) return angle_deg - 360;
  return angle_deg <= -180 ? angle_deg + 360 : angle_deg;
}
