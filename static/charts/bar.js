/*
 * How long a step takes, beside its figures in a table: a bar to its median, a line on to its 80th percentile.
 */

import { scaleLinear } from "d3-scale";
import { frame } from "./frame.js";

const HEIGHT = 22;

export function bar(place, { top, median, p80 }, width) {
  const drawing = frame(place, width, HEIGHT, 0, 0);
  const x = scaleLinear([0, top], [0, width - 1]);
  drawing.append("line").attr("class", "reach").attr("x2", x(p80)).attr("y1", 11).attr("y2", 11);
  drawing.append("line").attr("class", "reach").attr("x1", x(p80)).attr("x2", x(p80)).attr("y1", 5).attr("y2", 17);
  drawing.append("rect").attr("class", "bar").attr("width", x(median)).attr("y", 3).attr("height", 16);
}
