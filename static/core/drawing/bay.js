/** The bay under a drawing from above: webapp/core/drawing/bay.py once more. */

import { withUnit } from "./lettering.js";
import { px } from "./svg.js";

/** @import { Say } from "../types.js" */

/**
 * @typedef {[number, number]} Point
 * @typedef {[number, number, number, number]} Box left, top, right, bottom
 * @typedef {{name: string, corners: Point[]}} Shape
 */

const FRAME = /data-frame="([^"]*)"/;
const LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ";
const [PAGE_PX, EDGE_PX, TO_BASELINE_PX, NEARLY_MM] = [330, 9, 4.5, 0.5];
// The pens of the drawing, as webapp/core/drawing/pens.py has them.
const WALL = 'class="wall" fill="none" stroke="#cfc8b6" stroke-width="6"';
const THIN = 'class="thin" fill="none" stroke="#414d58" stroke-width="0.9"';
const THING = 'class="thing" fill="#cfc8b6" stroke="#414d58" stroke-width="1.2"';

/**
 * The drawing with the bay under it, and what is seen of the bay in words: nothing, where none of it is.
 * @param {string} svg @param {Shape & {obstacles: Shape[]} | undefined} plan @param {Say} say @param {string} unit
 * @returns {{svg: string, words: string[]}}
 */
export function inBay(svg, plan, say, unit) {
  const told = FRAME.exec(svg);
  if (!plan || !told) return { svg, words: [] };
  const [scale, x0, y0, high] = told[1].split(" ").map(Number);
  /** @type {Box} */
  const page = [0, 0, PAGE_PX, high];
  const all = (/** @type {Point[]} */ corners) =>
    corners.map(([x, y]) => /** @type {Point} */ ([x0 - y * scale, y0 - x * scale]));
  const edge = all(plan.corners);
  const seen = plan.obstacles
    .map((one) => ({ one, points: all(one.corners) }))
    .filter(({ points }) => overlap(about(points), page))
    .slice(0, LETTERS.length);
  const crosses = edge.some((point, at) => crossed(page, point, edge[(at + 1) % edge.length]));
  if (!seen.length && !crosses) return { svg, words: [] };
  const marks = seen.map(({ points }) => `<path d="${path(points)}"/>`).join("");
  const letters = seen.map(({ points }, at) => letter(LETTERS[at], middle(cut(about(points), page)))).join("");
  const under =
    `<svg width="${PAGE_PX}" height="${high}"><g ${WALL}><path d="${path(edge)}"/></g><g ${THIN}><path d="${path(edge)}"/></g>` +
    `<g ${THING}>${marks}</g><g class="lettering" font-size="13">${letters}</g></svg>`;
  const at = svg.indexOf('">') + 2;
  const things = seen.map(({ one }, number) => {
    const place = where(middle(about(one.corners)), say, unit);
    return say("drawing-obstacle", { letter: LETTERS[number], what: one.name, place });
  });
  const words = [...(crosses ? [say("drawing-bay-edge", { bay: plan.name })] : []), ...things];
  return { svg: svg.slice(0, at) + under + svg.slice(at), words };
}

/** @param {Point} at in mm @param {Say} say @param {string} unit */
function where([x, y], say, unit) {
  const [along, aside] = [x, y].map((mm) => ({ length: withUnit(Math.abs(mm), unit) }));
  const ahead =
    Math.abs(x) < NEARLY_MM
      ? say("drawing-level-with-front-axle")
      : say(x > 0 ? "drawing-ahead" : "drawing-behind", along);
  const left =
    Math.abs(y) < NEARLY_MM ? say("drawing-on-centreline") : say(y > 0 ? "drawing-left" : "drawing-right", aside);
  return `${ahead}, ${left}`;
}

/** @param {Point[]} points @returns {Box} the smallest box that holds them */
function about(points) {
  const [across, down] = [points.map(([x]) => x), points.map(([, y]) => y)];
  return [Math.min(...across), Math.min(...down), Math.max(...across), Math.max(...down)];
}

/** @param {Box} one @param {Box} other @returns {Box} what both cover */
function cut(one, other) {
  const [left, top, right, bottom] = one;
  return [Math.max(left, other[0]), Math.max(top, other[1]), Math.min(right, other[2]), Math.min(bottom, other[3])];
}

/** @param {Box} one @param {Box} other */
function overlap(one, other) {
  const [left, top, right, bottom] = cut(one, other);
  return right > left && bottom > top;
}

/** @param {Box} box @returns {Point} */
function middle([left, top, right, bottom]) {
  return [(left + right) / 2, (top + bottom) / 2];
}

/**
 * Whether a straight line touches a box (Liang and Barsky's clipping).
 * @param {Box} box @param {Point} one @param {Point} other
 */
function crossed([left, top, right, bottom], one, other) {
  let [enters, leaves] = [0, 1];
  for (const [low, high, start, end] of [
    [left, right, one[0], other[0]],
    [top, bottom, one[1], other[1]],
  ]) {
    if (start === end) {
      if (start < low || start > high) return false;
      continue;
    }
    const ends = [(low - start) / (end - start), (high - start) / (end - start)];
    enters = Math.max(enters, Math.min(...ends));
    leaves = Math.min(leaves, Math.max(...ends));
  }
  return enters <= leaves;
}

/** @param {Point[]} points */
function path(points) {
  return `M${points.map(([x, y]) => `${px(x)} ${px(y)}`).join("L")}Z`;
}

/** @param {string} sign @param {Point} at */
function letter(sign, [x, y]) {
  const inside = Math.min(Math.max(x, EDGE_PX), PAGE_PX - EDGE_PX);
  return `<text x="${px(inside)}" y="${px(Math.max(y, EDGE_PX) + TO_BASELINE_PX)}" text-anchor="middle">${sign}</text>`;
}
