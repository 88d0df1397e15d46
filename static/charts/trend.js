/*
 * Medians of the jobs in time, one group of jobs after another, each with where it lies; a small one has no scale.
 */

import { scaleLinear, scaleTime } from "d3-scale";
import { line, symbol, symbolCircle } from "d3-shape";
import { along, frame, LEFT, RIGHT, room, upright } from "./frame.js";
import { marks } from "./marks.js";

const HEIGHT = 160;
const SMALL = 40;
const POINT = symbol(symbolCircle, 24)();
const LONG_MS = 300 * 86_400_000;
/** Where the last group's figure stands. */
const FIGURE = 30;

export function trend(place, told, width) {
  if (told.small) small(place, told, width);
  else large(place, told, width);
}

function small(place, { top, points }, width) {
  const drawing = frame(place, width, SMALL, 4, 4);
  const y = scaleLinear([0, top], [SMALL, 0]);
  const x = scaleLinear([points[0].at, points.at(-1).at], [5, width - 5]);
  drawing.append("line").attr("class", "foot").attr("x2", width).attr("y1", SMALL).attr("y2", SMALL);
  path(drawing, points, x, y);
  placed(drawing, points.slice(0, -1), x, y).append("path").attr("class", "mark job").attr("d", POINT);
  marks(placed(drawing, points.slice(-1), x, y, "newest").datum({ mark: "job" }));
}

function large(place, { top, points, say }, width) {
  const drawing = frame(place, width, HEIGHT);
  const y = upright(drawing, top, width, HEIGHT);
  const ends = [points[0].at, points.at(-1).at];
  const x = scaleTime(ends, [LEFT, width - RIGHT - FIGURE]);
  along(drawing, x, HEIGHT, room(width, 90), days(ends[1] - ends[0] > LONG_MS));
  drawing
    .selectAll("line.whisker")
    .data(points.filter(({ low, high }) => low !== null && high !== null))
    .join("line")
    .attr("class", "whisker")
    .attr("x1", ({ at }) => x(at))
    .attr("x2", ({ at }) => x(at))
    .attr("y1", ({ low }) => y(low))
    .attr("y2", ({ high }) => y(high));
  path(drawing, points, x, y);
  const groups = points.map((one) => ({ ...one, mark: "job" }));
  marks(placed(drawing, groups, x, y));
  placed(drawing, points.slice(-1), x, y, "newest")
    .append("text")
    .attr("class", "figure")
    .attr("x", 9)
    .attr("y", 5)
    .text(say);
}

/** A day as the shop's pages write it: `12 Mar`; its month where the jobs are of a long time, and the year once in each. */
function days(long) {
  const month = new Intl.DateTimeFormat(document.documentElement.lang, { month: "short" });
  return (at, nth) => {
    if (!long) return `${at.getDate()} ${month.format(at)}`;
    return nth === 0 || at.getMonth() === 0 ? `${month.format(at)} ${at.getFullYear()}` : month.format(at);
  };
}

function path(drawing, points, x, y) {
  const through = line(
    ({ at }) => x(at),
    ({ minutes }) => y(minutes),
  );
  drawing.append("path").attr("class", "path").attr("d", through(points));
}

function placed(drawing, points, x, y, name = "group") {
  return drawing
    .selectAll(`g.${name}`)
    .data(points)
    .join("g")
    .attr("class", name)
    .attr("transform", ({ at, minutes }) => `translate(${x(at)},${y(minutes)})`);
}
