/*
 * A mean beside its figures in a table: a dot at the mean, a bar where it lies for sure, a line to where most days lie.
 */

import { scaleLinear } from "d3-scale";
import { frame } from "./frame.js";
import { marks } from "./marks.js";

const HEIGHT = 22;
const SIDE = 6;

export function span(place, { top, mean, sure, most }, width) {
  const drawing = frame(place, width, HEIGHT, 0, 0);
  const x = scaleLinear([0, top], [SIDE, width - SIDE]);
  drawing.append("line").attr("class", "foot").attr("x2", width).attr("y1", HEIGHT).attr("y2", HEIGHT);
  drawing
    .append("line")
    .attr("class", "reach")
    .attr("x1", x(most[0]))
    .attr("x2", x(most[1]))
    .attr("y1", 11)
    .attr("y2", 11);
  drawing
    .selectAll("line.end")
    .data(most)
    .join("line")
    .attr("class", "reach end")
    .attr("x1", (end) => x(end))
    .attr("x2", (end) => x(end))
    .attr("y1", 5)
    .attr("y2", 17);
  const wide = Math.max(x(sure[1]) - x(sure[0]), 1);
  drawing
    .append("rect")
    .attr("class", "sure")
    .attr("x", x(sure[0]))
    .attr("width", wide)
    .attr("y", 4)
    .attr("height", 14);
  marks(
    drawing
      .append("g")
      .attr("transform", `translate(${x(mean)},11)`)
      .datum({ mark: "job" }),
  );
}
