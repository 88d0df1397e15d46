/**
 * What to do with a stand once its pose is known: the moves in the order a person makes them, in whole millimetres.
 *
 * Each entry has a code under `do` and the message's arguments beside it. Left and right are the vehicle's.
 */

import { rounded } from "../numbers.js";
import { fsum } from "./fraction.js";
import { FRONT, squareStand, TAPE_NAMES, TURN, tapesAt } from "./square.js";

/**
 * @typedef {import("./square.js").Hubs} Hubs
 * @typedef {import("./square.js").Pose} Pose
 * @typedef {import("./square.js").Squared} Squared
 * @typedef {import("./square.js").Tapes} Tapes
 * @typedef {Record<string, any>} Advice
 * @typedef {{tape: string?, reason: string?}} OddOneOut
 *   the tape that was misread in the first set, or null and the reason why it cannot be named
 */

/**
 * The moves from the pose found to the target's, and the four readings that will confirm them.
 *
 * Without a target the stand is squared and centred at the distance where it stands. A move that rounds to 0 mm is left
 * out. Where the four tapes did not fit there is one piece of advice: measure again.
 * @param {number} track_mm @param {number} bar_mm @param {Squared} found @param {Pose?} target
 * @param {Hubs} [hubs]
 * @returns {Advice[]}
 */
export function advise(track_mm, bar_mm, found, target, hubs = FRONT) {
  if (found.pose === null) return [{ do: "measure-again" }];
  const wanted = target ?? { distance_mm: found.pose.distance_mm, offset_mm: 0, yaw_deg: 0 };
  const expected = tapesAt(track_mm, bar_mm, wanted, hubs);
  const readings = Object.fromEntries(TAPE_NAMES.map((name) => [name, wholeMm(expected[name])]));
  return [...moves(bar_mm, found.pose, wanted, hubs), { do: "expect", tapes_mm: readings }];
}

/** @param {number} bar_mm @param {Pose} here @param {Pose} there @param {Hubs} hubs */
function moves(bar_mm, here, there, hubs) {
  const turn = wholeMm(((TURN[hubs] * bar_mm) / 2) * (sinOf(there.yaw_deg) - sinOf(here.yaw_deg)));
  const slide = wholeMm(there.offset_mm - here.offset_mm);
  const move = wholeMm(there.distance_mm - here.distance_mm);
  // Turned to the left, the left end comes back: nearer to a vehicle behind it, away from one ahead of it.
  const [left_end, right_end] = turn > 0 ? ["nearer", "away"] : ["away", "nearer"];
  /** @type {Advice[]} */
  const made = [];
  if (turn) made.push({ do: "turn", left_end_mm: Math.abs(turn), left_end, right_end });
  if (slide) made.push({ do: "slide", mm: Math.abs(slide), to: slide > 0 ? "left" : "right" });
  if (move) made.push({ do: "move", mm: Math.abs(move), to: move > 0 ? "farther" : "nearer" });
  return made;
}

/** @param {number} angle_deg */
function sinOf(angle_deg) {
  return Math.sin(angle_deg * (Math.PI / 180));
}

/**
 * Round to whole millimetres, halves away from zero, so that left and right are treated alike.
 *
 * What a sum's last digits keep from being a half is a half too, so that phone and shop say the same.
 * @param {number} length_mm
 */
export function wholeMm(length_mm) {
  const whole = Math.floor(rounded(Math.abs(length_mm), 6) + 0.5);
  return length_mm < 0 && whole ? -whole : whole;
}

/**
 * The pose from the repeated sets, and which tape of the first set does not go with the rest.
 *
 * A tape is named where putting its repeated reading (the mean, if there are several) into the first set makes the four
 * fit, and doing so with no other tape does. Reasons where none is named: `first-set-fits`, `no-single-tape`,
 * `more-than-one-tape`.
 * @param {number} track_mm @param {number} bar_mm @param {Tapes} tapes @param {Tapes} u @param {Tapes[]} repeats
 * @param {Hubs} [hubs]
 * @returns {[Squared, OddOneOut]}
 */
export function squareWithRepeats(track_mm, bar_mm, tapes, u, repeats, hubs = FRONT) {
  const again = /** @type {Tapes} */ (
    Object.fromEntries(TAPE_NAMES.map((name) => [name, fsum(repeats.map((one) => one[name])) / repeats.length]))
  );
  const second = squareStand(track_mm, bar_mm, again, u, hubs);
  const first = squareStand(track_mm, bar_mm, tapes, u, hubs);
  if (first.fits) return [second.fits ? second : first, { tape: null, reason: "first-set-fits" }];
  const mended = TAPE_NAMES.map((name) => squareStand(track_mm, bar_mm, { ...tapes, [name]: again[name] }, u, hubs));
  const cured = TAPE_NAMES.filter((_name, index) => mended[index].fits);
  if (cured.length !== 1) {
    return [second, { tape: null, reason: cured.length ? "more-than-one-tape" : "no-single-tape" }];
  }
  const [tape] = cured;
  return [second.fits ? second : mended[TAPE_NAMES.indexOf(tape)], { tape, reason: null }];
}
