/*
 * How the jobs lie: a bar for each span of minutes, an open one for all that took longer, and the two lines that half
 * and four fifths of the jobs lie before, each named where it stands.
 */

import { scaleLinear } from "d3-scale";
import { along, frame, room } from "./frame.js";

const HEIGHT = 150;
const WORDS = 44;
const SIDE = 10;
/** Each line's words have a row of their own and point away from the other's, where there is room for that. */
const ROWS = { upper: -30, lower: -10 };

export function bars(place, { bins, lines }, width) {
  const drawing = frame(place, width, HEIGHT, WORDS);
  const each = bins[0].high - bins[0].low;
  const low = bins[0].low;
  const high = bins.at(-1).low + each;
  const x = scaleLinear([low, high], [SIDE, width - SIDE]).clamp(true);
  const y = scaleLinear([0, Math.max(...bins.map(({ n }) => n))], [HEIGHT, 0]);
  drawing
    .selectAll("rect")
    .data(bins)
    .join("rect")
    .attr("class", (bin) => (bin.high === null ? "bar open" : "bar"))
    .attr("x", (bin) => x(bin.low) + 1)
    .attr("width", (bin) => x(bin.low + each) - x(bin.low) - 2)
    .attr("y", ({ n }) => y(n))
    .attr("height", ({ n }) => HEIGHT - y(n));
  along(drawing, x, HEIGHT, room(width), null);
  const named = drawing
    .selectAll("g.named")
    .data(lines)
    .join("g")
    .attr("class", "named")
    .attr("transform", ({ minutes }) => `translate(${x(minutes)},0)`);
  const words = named
    .append("text")
    .text(({ say }) => say)
    .attr("class", function side({ minutes, line }) {
      const long = this.getComputedTextLength();
      const fits = line === "median" ? x(minutes) >= long : x(minutes) + long > width;
      return fits ? "before" : "after";
    });
  // Words that point towards the other line stand above it: that one begins in the lower row.
  const isTurned = words.filter(({ line }) => line !== "median").classed("before");
  const row = ({ line }) => ((line === "median") === isTurned ? ROWS.lower : ROWS.upper);
  words.attr("y", row);
  named
    .append("line")
    .attr("class", ({ line }) => line)
    .attr("y1", (one) => row(one) + 4)
    .attr("y2", HEIGHT);
}
