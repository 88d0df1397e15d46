/**
 * How a stand must move, as data for static/pages/stand-move.mustache: where it is, where it goes, an arrow a move.
 *
 * What is off is drawn 20 times larger, or as much larger as the page takes, and the drawing says so.
 *
 * The vehicle is below, or above where the stand is behind it. The second is the first in a mirror: drawn as if it stood
 * ahead, with its turn turned over, every height then counted from the other end of the sheet.
 */

import { FRONT, TURN } from "../measure/square.js";
import { figure, withUnit } from "./lettering.js";
import { px } from "./svg.js";

/**
 * @typedef {import("../types.js").Say} Say
 * @typedef {import("../measure/square.js").Hubs} Hubs
 * @typedef {import("../measure/square.js").Pose} Pose
 * @typedef {Record<string, any>} Move
 * @typedef {[number, number]} Point
 * @typedef {{x: number, y: number, yaw_deg: number}} Bar a stand on the page: its middle, and its turn to the left
 * @typedef {{number: string, length: string, hubs: Hubs}} Written what stands by an arrow: the move's number, its length
 * @typedef {"start" | "middle" | "end"} Anchor
 */

const PAGE_PX = 330;
/** Where the stand's middle goes. */
const [CENTRE_PX, LEVEL_PX] = [165, 78];
/** Half a stand, and the scale that makes of a stand 1200 mm wide. */
const [HALF_PX, MM_PX] = [66, 0.11];
const LARGER = [20, 10, 5, 2, 1, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01];
const [MOST_TURN_DEG, MOST_SLIDE_PX, MOST_FAR_PX, MOST_NEAR_PX] = [12, 44, 26, 14];
const [ARROW_PX, HEAD_PX, OFF_PX] = [27, 10, 26];
const [EDGE_PX, TO_BASELINE_PX] = [32, 4.5];
/** From an arrow to the ring with the move's number, and to the text beyond the ring. */
const [RING_PX, TEXT_PX] = [13, 26];
/** What a height and its mirror's make together; the note stays below both. */
const MIRROR_PX = 208;
/** Below the bars, at this height, sliding and moving are shown, and moving this far off the centre. */
const [STRIP_PX, ASIDE_PX] = [146, 62];
const ALT = { front: "drawing-alt-move", rear: "drawing-alt-move-behind" };

/**
 * The drawing's data, or null where the four tapes did not fit and there is no pose to draw.
 * @param {Move} result what the method `square` found, with its pose and its advice
 * @param {Pose} target the pose that the stand should have
 * @param {Say} say
 * @param {string} [unit] what lengths are written in
 * @param {Hubs} [hubs] those that the tapes start from, `rear` for a stand behind the vehicle
 */
export function standMove(result, target, say, unit = "mm", hubs = FRONT) {
  if (!result.fits) return null;
  const offPx = (result.offset_mm - target.offset_mm) * MM_PX;
  const farPx = (result.distance_mm - target.distance_mm) * MM_PX;
  const turnedDeg = TURN[hubs] * (result.yaw_deg - target.yaw_deg);
  const larger = largerBy(offPx, farPx, turnedDeg);
  const goes = { x: CENTRE_PX, y: LEVEL_PX, yaw_deg: TURN[hubs] * target.yaw_deg };
  const here = {
    x: CENTRE_PX - offPx * larger,
    y: LEVEL_PX - farPx * larger,
    yaw_deg: goes.yaw_deg + turnedDeg * larger,
  };
  /** @type {Move[]} */
  const moves = result.advice.filter((/** @type {Move} */ one) => ["turn", "slide", "move"].includes(one.do));
  const note = noteOn(larger, moves.length > 0, say);
  return {
    alt: [say(ALT[hubs], { note }), ...moves.map((one, index) => altOf(index + 1, one, say, unit))].join(" "),
    behind: hubs !== FRONT,
    here: drawn(here, hubs),
    goes: drawn(goes, hubs),
    arrows: moves.flatMap((one, index) => arrows(index + 1, one, here, goes, unit, hubs)),
    note,
  };
}

/** @param {Bar} bar @param {Hubs} hubs */
function drawn(bar, hubs) {
  return line(seen(end(bar, -1), hubs), seen(end(bar, 1), hubs));
}

/**
 * The point as it is drawn: behind the vehicle, in the mirror.
 * @param {Point} point @param {Hubs} hubs
 * @returns {Point}
 */
function seen(point, hubs) {
  return hubs === FRONT ? point : [point[0], MIRROR_PX - point[1]];
}

/**
 * The left (-1) or right (1) end of a stand.
 * @param {Bar} bar @param {number} side
 * @returns {Point}
 */
function end(bar, side) {
  const turn = bar.yaw_deg * (Math.PI / 180);
  return [bar.x + side * HALF_PX * Math.cos(turn), bar.y - side * HALF_PX * Math.sin(turn)];
}

/** @param {number} larger @param {boolean} moves @param {Say} say */
function noteOn(larger, moves, say) {
  if (!moves) return say("drawing-in-its-place");
  return larger > 1 ? say("drawing-larger", { times: figure(larger) }) : say("drawing-not-to-scale");
}

/**
 * How many times larger what is off can be drawn.
 * @param {number} offPx @param {number} farPx @param {number} turnedDeg
 */
function largerBy(offPx, farPx, turnedDeg) {
  const fits = (/** @type {number} */ times) =>
    Math.abs(offPx) * times <= MOST_SLIDE_PX &&
    -MOST_NEAR_PX <= farPx * times &&
    farPx * times <= MOST_FAR_PX &&
    Math.abs(turnedDeg) * times <= MOST_TURN_DEG;
  return LARGER.find(fits) ?? LARGER[LARGER.length - 1];
}

/**
 * A turn shows at both ends, a slide in the middle below, a move nearer or farther beside it.
 * @param {number} count @param {Move} move @param {Bar} here @param {Bar} goes @param {string} unit @param {Hubs} hubs
 */
function arrows(count, move, here, goes, unit, hubs) {
  const mm = move.do === "turn" ? move.left_end_mm : move.mm;
  const label = { number: String(count), length: withUnit(mm, unit), hubs };
  if (move.do === "turn") {
    const down = move.left_end === "nearer" ? 1 : -1;
    const left = Math.min(end(here, -1)[0], end(goes, -1)[0]) - OFF_PX;
    const right = Math.max(end(here, 1)[0], end(goes, 1)[0]) + OFF_PX;
    return [upright(left, end(here, -1)[1], down, label), upright(right, end(here, 1)[1], -down, label)];
  }
  if (move.do === "slide") return [level(move.to === "right" ? 1 : -1, label)];
  // A slide's figure stands where it comes from; the other side is free.
  return [beside(here.x <= goes.x ? 1 : -1, move.to === "nearer" ? 1 : -1, label)];
}

/**
 * An arrow along the vehicle, down (1) being nearer: the number at its tail, the length at its tip.
 * @param {number} x @param {number} y @param {number} down @param {Written} label
 */
function upright(x, y, down, label) {
  const tip = y + down * ARROW_PX;
  /** @type {Point} */
  const text = [Math.min(Math.max(x, EDGE_PX), PAGE_PX - EDGE_PX), tip + down * 11];
  return arrow([x, y], [x, tip], label, [x, y - down * RING_PX], text, "middle");
}

/**
 * The same arrow with number and length beside it.
 * @param {number} side @param {number} down @param {Written} label
 */
function beside(side, down, label) {
  const x = CENTRE_PX + side * ASIDE_PX;
  const half = (down * ARROW_PX) / 2;
  /** @type {Point[]} */
  const [ring, text] = [
    [x + side * (RING_PX + 5), STRIP_PX],
    [x + side * (TEXT_PX + 5), STRIP_PX],
  ];
  return arrow([x, STRIP_PX - half], [x, STRIP_PX + half], label, ring, text, side > 0 ? "start" : "end");
}

/**
 * An arrow across the vehicle that ends near the centre, number and length at its tail.
 * @param {number} right @param {Written} label
 */
function level(right, label) {
  const tip = CENTRE_PX - right * 5;
  const tail = CENTRE_PX - right * (5 + ARROW_PX);
  /** @type {Point[]} */
  const [ring, text] = [
    [tail - right * RING_PX, STRIP_PX],
    [tail - right * TEXT_PX, STRIP_PX],
  ];
  return arrow([tail, STRIP_PX], [tip, STRIP_PX], label, ring, text, right > 0 ? "end" : "start");
}

/**
 * The four points are those of a stand ahead of the vehicle.
 * @param {Point} tailAhead @param {Point} tipAhead @param {Written} label @param {Point} ringAhead
 * @param {Point} textAhead @param {Anchor} anchor
 */
function arrow(tailAhead, tipAhead, label, ringAhead, textAhead, anchor) {
  const [tail, tip, ring, text] = [tailAhead, tipAhead, ringAhead, textAhead].map((point) => seen(point, label.hubs));
  const [ux, uy] = [Math.sign(tip[0] - tail[0]), Math.sign(tip[1] - tail[1])];
  const half = HEAD_PX / 2;
  /** @type {Point} */
  const base = [tip[0] - ux * HEAD_PX, tip[1] - uy * HEAD_PX];
  /** @type {Point[]} */
  const corners = [tip, [base[0] - uy * half, base[1] + ux * half], [base[0] + uy * half, base[1] - ux * half]];
  return {
    ...line(tail, base),
    head: corners.map(([x, y]) => `${px(x)},${px(y)}`).join(" "),
    number: label.number,
    number_x: px(ring[0]),
    number_y: px(ring[1] + TO_BASELINE_PX),
    ring_y: px(ring[1]),
    label: label.length,
    x: px(text[0]),
    y: px(text[1] + TO_BASELINE_PX),
    anchor,
  };
}

/** @param {Point} start @param {Point} finish */
function line(start, finish) {
  return { x1: px(start[0]), y1: px(start[1]), x2: px(finish[0]), y2: px(finish[1]) };
}

/**
 * `1. Left end 4 mm away from the vehicle, right end 4 mm nearer.`
 * @param {number} count @param {Move} move @param {Say} say @param {string} unit
 */
function altOf(count, move, say, unit) {
  if (move.do === "turn") {
    return say(`drawing-alt-turn-${move.left_end}`, {
      number: String(count),
      length: withUnit(move.left_end_mm, unit),
    });
  }
  return say(`drawing-alt-${move.do}-${move.to}`, { number: String(count), length: withUnit(move.mm, unit) });
}
