/*
 * Job by job: the times in the order in which the jobs were finished, against their mean and limits. Each mark leads to
 * the job's record; one that completes a rule bears the letter under which the table has it.
 */

import { scaleLinear } from "d3-scale";
import { frame, LEFT, RIGHT, upright } from "./frame.js";
import { marks, reachable } from "./marks.js";

const HEIGHT = 220;
/** Where the figures of the lines stand. */
const FIGURES = 34;

export function run(place, { top, ends, lines, marks: some }, width) {
  const drawing = frame(place, width, HEIGHT);
  const y = upright(drawing, top, width, HEIGHT);
  const x = scaleLinear([0, Math.max(some.length - 1, 1)], [LEFT, width - RIGHT - (lines.length ? FIGURES : 0)]);

  const held = drawing.selectAll("g.held").data(lines).join("g").attr("class", "held");
  held.attr("transform", ({ minutes }) => `translate(0,${y(minutes)})`);
  held
    .append("line")
    .attr("class", ({ line }) => line)
    .attr("x2", width);
  held
    .append("text")
    .attr("x", width)
    .attr("y", -5)
    .text(({ say }) => say);

  const jobs = drawing
    .selectAll("a")
    .data(some.map((one) => ({ ...one, beyond: one.minutes > y.domain()[1] })))
    .join("a")
    .attr("href", ({ to }) => to)
    .attr("aria-label", ({ say }) => say)
    .attr("transform", ({ minutes }, nth) => `translate(${x(nth)},${y(minutes)})`);
  jobs.append("title").text(({ say }) => say);
  reachable(jobs);
  marks(jobs);
  // After all marks, so that none lies upon a letter.
  const named = some.flatMap((one, nth) => (one.letter ? [{ ...one, nth }] : []));
  drawing
    .selectAll("text.letter")
    .data(named)
    .join("text")
    .attr("class", "letter")
    .attr("x", ({ nth }) => x(nth))
    .attr("y", ({ minutes }) => y(minutes) - 12)
    .text(({ letter }) => letter);

  const foot = drawing
    .append("g")
    .attr("class", "ends")
    .attr("transform", `translate(0,${HEIGHT + 22})`);
  foot.append("text").text(ends[0]);
  foot.append("text").attr("class", "last").attr("x", width).text(ends[1]);
}
