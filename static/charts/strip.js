/*
 * The few jobs of one kind along a line of minutes: those that would cover each other are moved apart.
 */

import { forceCollide, forceSimulation, forceX, forceY } from "d3-force";
import { scaleLinear } from "d3-scale";
import { along, frame, room } from "./frame.js";
import { marks } from "./marks.js";

const HEIGHT = 40;
const SIDE = 10;
const DOT = 5;

export function strip(place, { top, marks: some }, width) {
  const drawing = frame(place, width, HEIGHT, 2);
  const x = scaleLinear([0, top], [SIDE, width - SIDE])
    .nice(6)
    .clamp(true);
  along(drawing, x, HEIGHT, room(width), null);
  const jobs = some.map((one) => ({ ...one, beyond: one.minutes > x.domain()[1], x: x(one.minutes), y: HEIGHT / 2 }));
  forceSimulation(jobs)
    .force("minutes", forceX(({ minutes }) => x(minutes)).strength(1))
    .force("line", forceY(HEIGHT / 2))
    .force("apart", forceCollide(DOT))
    .stop()
    .tick(120);
  const drawn = drawing
    .selectAll("g.job")
    .data(jobs)
    .join("g")
    .attr("class", "job")
    .attr("transform", (one) => `translate(${one.x},${one.y})`);
  marks(drawn, 90);
}
