/*
 * What all charts have in common: the drawing itself, and the axes. Words stand above the lines that they belong to.
 */

import { axisBottom, axisRight } from "d3-axis";
import { scaleLinear } from "d3-scale";

/** Room at the left for an axis' figures, and at the right for a mark's other half. */
export const LEFT = 40;
export const RIGHT = 10;

const ABOVE = 20;
const BELOW = 26;
/** About as many pixels lie between two lines across. */
const LINES = 42;

/** A drawing of that size in pixels: what lies in it begins below room for an upper line's words. */
export function frame(place, width, height, above = ABOVE, below = BELOW) {
  return place
    .append("svg")
    .attr("width", width)
    .attr("height", above + height + below)
    .attr("viewBox", `0 0 ${width} ${above + height + below}`)
    .append("g")
    .attr("transform", `translate(0,${above})`);
}

/** The minutes upright, from nothing at the foot to beyond `top`, with a line across at each tick. */
export function upright(drawing, top, width, height) {
  const ticks = Math.round(height / LINES);
  const scale = scaleLinear([0, top], [height, 0]).nice(ticks).clamp(true);
  drawing
    .append("g")
    .attr("class", "axis upright")
    .call(axisRight(scale).ticks(ticks).tickSize(width))
    .call((axis) => axis.selectAll("text").attr("x", 0).attr("dy", -4));
  return scale;
}

/** An axis at the foot. */
export function along(drawing, scale, height, ticks, words) {
  drawing
    .append("g")
    .attr("class", "axis along")
    .attr("transform", `translate(0,${height})`)
    .call(axisBottom(scale).ticks(ticks).tickFormat(words).tickSize(4).tickSizeOuter(0));
}

/** About as many ticks as so wide an axis has room for. */
export function room(width, each = 60) {
  return Math.max(2, Math.floor(width / each));
}
