/**
 * Squaring a stand with four tapes: where it stands, how sure that is, and whether the four fit together.
 *
 * The axes are the vehicle's (ISO 8855: x forward, y to the left), with their origin midway between the two references
 * that the tapes start from. Before the vehicle these are the front hubs, behind it the rear hubs. References A_L, A_R
 * lie at (0, ±track/2). The marks on the stand's bar, bar/2 either side of its middle (x, y), are
 *     S_L = (x - (bar/2) sin θ, y + (bar/2) cos θ)        S_R = (x + (bar/2) sin θ, y - (bar/2) cos θ)
 * with θ positive when the stand is turned left (counter-clockwise from above). The distance is x before the vehicle and
 * -x behind it. Left and right are the vehicle's on either side, whichever way the person at the tape faces.
 *
 * Behind, all of this is the front's picture in a mirror across the line through the references: x and θ change their
 * sign, y and the four lengths do not. So it is solved as if it stood before the vehicle, and its turn is turned over.
 *
 * Four readings, three unknowns: the spare one shows that something was misread (χ², one degree of freedom), but not
 * which tape it was.
 */

import { BadInput } from "../errors.js";
import { number } from "../numbers.js";
import { Range } from "./reading.js";
import { inverseDiagonal, solve } from "./three.js";

/**
 * @typedef {{left_left: number, right_right: number, left_right: number, right_left: number}} Tapes
 *   first word the reference on the vehicle, second the mark on the bar
 * @typedef {{distance_mm: number, offset_mm: number, yaw_deg: number}} Pose
 *   where the bar's middle stands: how far ahead of the front references or behind the rear ones, and how far left of
 *   the centreline; and its turn to the left, seen from above
 * @typedef {"front" | "rear"} Hubs
 * @typedef {{fits: boolean, misfit: number, pose: Pose?, u: Pose?}} Squared
 * @typedef {{lengths: number[], slopes: number[][]}} Model
 */

export const TRACK_MM = new Range("mm", 300, 4_000); // between two reference points on the vehicle
export const TAPE_MM = new Range("mm", 50, 30_000);

/** @type {Hubs} */
export const FRONT = "front";
/** What the mirror makes of a turn to the left. */
export const TURN = { front: 1, rear: -1 };

/** The 99 % point of χ² with one degree of freedom: a good set of four exceeds it once in a hundred. */
export const LARGEST_MISFIT = 6.63;

const ROUNDS = 60;
const SMALLEST_STEP_MM = 1e-9;
/** A misfit that grew by no more has not grown: so much is left over from rounding, and tells nobody anything. */
const [NO_WORSE, NO_WORSE_SHARE] = [1e-6, 1e-9];
/** A triangle of tapes counts as a slip of the pen, not of the tape, where its sides miss by this factor. */
const WILDLY = 2;
const DEG = Math.PI / 180;

/** @type {(keyof Tapes)[]} */
export const TAPE_NAMES = ["left_left", "right_right", "left_right", "right_left"];
/** Which reference and which mark each tape runs between: left 1, right -1. */
const ENDS = [
  [1, 1],
  [-1, -1],
  [1, -1],
  [-1, 1],
];

/**
 * The stand's pose by weighted non-linear least squares.
 *
 * u: standard uncertainty of each tape, mm. hubs: which references the tapes start from. Throws BadInput (impossible-geometry) where no stand could give these
 * readings even roughly. Readings that merely do not fit together are a result, not an error.
 * @param {number} track_mm @param {number} bar_mm @param {Tapes} tapes @param {Tapes} u @param {Hubs} [hubs]
 * @returns {Squared}
 */
export function squareStand(track_mm, bar_mm, tapes, u, hubs = FRONT) {
  checkTriangles(track_mm, bar_mm, tapes);
  const readings = TAPE_NAMES.map((name) => tapes[name]);
  const weights = TAPE_NAMES.map((name) => 1 / (u[name] * u[name]));
  const at = settle(track_mm, bar_mm, readings, weights);
  const model = tapesAndSlopes(track_mm, bar_mm, at);
  const misfit = misfitOf(readings, model, weights);
  if (misfit > LARGEST_MISFIT) return { fits: false, misfit, pose: null, u: null };
  if (at[0] <= 0 || Math.abs(at[2]) > 90 * DEG) {
    const side = hubs === FRONT ? "behind" : "ahead of";
    throw impossible("tapes_mm", `the four tapes put the stand ${side} the references: check which end is which`);
  }
  const spread = inverseDiagonal(normalOf(model, weights)).map(Math.sqrt);
  return { fits: true, misfit, pose: poseOf(at, TURN[hubs]), u: poseOf(spread, 1) };
}

/** @param {number[]} at @param {number} turn */
function poseOf([x, y, yaw], turn) {
  return { distance_mm: x, offset_mm: y, yaw_deg: (turn * yaw) / DEG };
}

/**
 * The readings that a stand in this pose gives.
 * @param {number} track_mm @param {number} bar_mm @param {Pose} pose @param {Hubs} [hubs]
 * @returns {Tapes}
 */
export function tapesAt(track_mm, bar_mm, pose, hubs = FRONT) {
  const at = [pose.distance_mm, pose.offset_mm, TURN[hubs] * pose.yaw_deg * DEG];
  const [left_left, right_right, left_right, right_left] = tapesAndSlopes(track_mm, bar_mm, at).lengths;
  return { left_left, right_right, left_right, right_left };
}

/**
 * The four lengths at (x, y, θ in radians), and of each its derivatives by the three.
 * @param {number} track_mm @param {number} bar_mm @param {number[]} at
 * @returns {Model}
 */
function tapesAndSlopes(track_mm, bar_mm, [x, y, yaw]) {
  const [sin, cos] = [Math.sin(yaw), Math.cos(yaw)];
  /** @type {Model} */
  const model = { lengths: [], slopes: [] };
  for (const [reference, mark] of ENDS) {
    const half = (mark * bar_mm) / 2;
    const ahead = x - half * sin;
    const aside = y + half * cos - (reference * track_mm) / 2;
    const length = Math.max(Math.sqrt(ahead * ahead + aside * aside), 1e-6);
    model.lengths.push(length);
    model.slopes.push([ahead / length, aside / length, (-half * (ahead * cos + aside * sin)) / length]);
  }
  return model;
}

/** @param {number[]} readings @param {Model} model @param {number[]} weights */
function misfitOf(readings, { lengths }, weights) {
  return readings.reduce((sum, reading, row) => sum + weights[row] * (reading - lengths[row]) ** 2, 0);
}

/** @param {Model} model @param {number[]} weights */
function normalOf({ slopes }, weights) {
  const columns = [0, 1, 2];
  const entry = (/** @type {number} */ i, /** @type {number} */ j) =>
    slopes.reduce((sum, slope, row) => sum + weights[row] * slope[i] * slope[j], 0);
  return columns.map((i) => columns.map((j) => entry(i, j)));
}

/**
 * Gauss-Newton from the closed-form start; damped only where a full step would make the misfit worse.
 * @param {number} track_mm @param {number} bar_mm @param {number[]} readings @param {number[]} weights
 */
function settle(track_mm, bar_mm, readings, weights) {
  let at = start(track_mm, bar_mm, readings);
  let damping = 0;
  let model = tapesAndSlopes(track_mm, bar_mm, at);
  for (let round = 0; round < ROUNDS; round += 1) {
    const step = stepFrom(readings, model, weights, damping);
    const next = at.map((value, index) => value + step[index]);
    if (Math.max(Math.abs(step[0]), Math.abs(step[1]), Math.abs(step[2]) * bar_mm) < SMALLEST_STEP_MM) return next;
    const tried = tapesAndSlopes(track_mm, bar_mm, next);
    const before = misfitOf(readings, model, weights);
    if (misfitOf(readings, tried, weights) > before + before * NO_WORSE_SHARE + NO_WORSE) {
      damping = Math.max(10 * damping, 1e-3);
    } else {
      [at, model, damping] = [next, tried, damping > 1e-6 ? damping / 10 : 0];
    }
  }
  throw impossible("tapes_mm", "no place of the stand comes near these four readings: measure again");
}

/** @param {number[]} readings @param {Model} model @param {number[]} weights @param {number} damping */
function stepFrom(readings, model, weights, damping) {
  const normal = normalOf(model, weights);
  const damped = normal.map((row, i) => row.map((value, j) => (i === j ? value + damping * value : value)));
  const pull = [0, 1, 2].map((i) =>
    model.slopes.reduce((sum, slope, row) => sum + slope[i] * weights[row] * (readings[row] - model.lengths[row]), 0),
  );
  return solve(damped, pull);
}

/**
 * Solve the four squared lengths for x, y and θ, leaving the spare equation aside.
 * @param {number} track_mm @param {number} bar_mm @param {number[]} readings
 */
function start(track_mm, bar_mm, readings) {
  const [ll, rr, lr, rl] = readings.map((reading) => reading * reading);
  const y = (rl - lr - ll + rr) / (4 * track_mm);
  const reachSquared = (ll + rr + lr + rl) / 4 - (track_mm * track_mm + bar_mm * bar_mm) / 4;
  const least = 0.05 * bar_mm;
  const x = Math.sqrt(Math.max(reachSquared - y * y, least * least));
  const reach = Math.sqrt(x * x + y * y);
  const lean = (rl - lr + ll - rr) / (4 * bar_mm * reach);
  return [x, y, Math.asin(y / reach) - Math.asin(Math.min(1, Math.max(-1, lean)))];
}

/** @param {number} track_mm @param {number} bar_mm @param {Tapes} tapes */
function checkTriangles(track_mm, bar_mm, tapes) {
  /** @type {[keyof Tapes, keyof Tapes, string, number][]} */
  const sides = [
    ["left_left", "left_right", "bar_mm", bar_mm],
    ["right_right", "right_left", "bar_mm", bar_mm],
    ["left_left", "right_left", "track_mm", track_mm],
    ["right_right", "left_right", "track_mm", track_mm],
  ];
  for (const [one, other, third, base] of sides) {
    const [a, b] = [tapes[one], tapes[other]];
    if (Math.abs(a - b) > WILDLY * base || a + b < base / WILDLY) {
      const readings = `tapes_mm.${one}=${number(a)} and tapes_mm.${other}=${number(b)}`;
      const message = `${readings} cannot meet with ${third}=${number(base)}: measure these two again`;
      throw impossible(`tapes_mm.${one}`, message);
    }
  }
}

/** @param {string} field @param {string} message */
function impossible(field, message) {
  return new BadInput("impossible-geometry", field, message);
}
