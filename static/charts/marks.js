/*
 * How one job is drawn. Each kind has a shape of its own, so that none needs a colour to be told apart: a dot, a ring
 * with a cross where the first run failed, a dashed ring where the time was estimated, an arrow beyond the scale, and
 * one more ring around what is unusually long.
 */

import { create } from "d3-selection";
import { symbol, symbolCircle, symbolTimes, symbolTriangle } from "d3-shape";

const DOT = symbol(symbolCircle, 50)();
const CROSSED = symbol(symbolCircle, 72)();
const CROSS = symbol(symbolTimes, 36)();
const ARROW = symbol(symbolTriangle, 50)();
const RING = symbol(symbolCircle, 254)();
const FINGER = symbol(symbolCircle, 530)();

/** Draws a mark into each of the elements, which have {mark, notice, beyond} for data; `turn` where the scale lies. */
export function marks(some, turn = 0) {
  some
    .filter((one) => one.notice)
    .append("path")
    .attr("class", "notice")
    .attr("d", RING);
  some
    .append("path")
    .attr("class", (one) => `mark ${one.mark}`)
    .attr("d", (one) => (one.beyond ? ARROW : one.mark === "again" ? CROSSED : DOT))
    .attr("transform", (one) => (one.beyond ? `rotate(${turn})` : null));
  some
    .filter((one) => one.mark === "again" && !one.beyond)
    .append("path")
    .attr("class", "cross")
    .attr("d", CROSS);
}

/** What a finger may hit of a mark that leads somewhere. */
export function reachable(some) {
  some.append("path").attr("class", "finger").attr("d", FINGER);
}

/** The mark or the line that a part of the key explains, before its words. */
export function sample(place, kind) {
  const drawing = create("svg:svg").attr("class", "sample").attr("width", 28).attr("height", 20);
  drawing.attr("aria-hidden", "true");
  place.prepend(drawing.node());
  if (kind === "mean" || kind === "limit") {
    drawing.append("line").attr("class", kind).attr("x1", 1).attr("x2", 27).attr("y1", 10).attr("y2", 10);
    return;
  }
  const shown = { beyond: { mark: "job", beyond: true }, notice: { mark: "job", notice: true } };
  marks(
    drawing
      .append("g")
      .attr("transform", "translate(14,10)")
      .datum(shown[kind] ?? { mark: kind }),
  );
}
