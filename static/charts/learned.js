/*
 * Somebody's jobs in order, and the learning curve through them where there is one.
 */

import { scaleLinear } from "d3-scale";
import { line } from "d3-shape";
import { along, frame, LEFT, RIGHT, room, upright } from "./frame.js";
import { marks } from "./marks.js";

const HEIGHT = 150;

export function learned(place, { top, marks: some, curve }, width) {
  const drawing = frame(place, width, HEIGHT);
  const y = upright(drawing, top, width, HEIGHT);
  const last = Math.max(...some.map(({ nth }) => nth));
  const x = scaleLinear([1, Math.max(last, 2)], [LEFT, width - RIGHT]);
  along(drawing, x, HEIGHT, Math.min(room(width), Math.max(last - 1, 1)), null);
  const drawn = drawing
    .selectAll("g.job")
    .data(some.map((one) => ({ ...one, beyond: one.minutes > y.domain()[1] })))
    .join("g")
    .attr("class", "job")
    .attr("transform", ({ nth, minutes }) => `translate(${x(nth)},${y(minutes)})`);
  marks(drawn);
  if (curve.length) {
    const through = line(
      ([nth]) => x(nth),
      ([, minutes]) => y(minutes),
    );
    drawing.append("path").attr("class", "path curve").attr("d", through(curve));
  }
}
