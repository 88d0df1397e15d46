/*
 * The charts of the times pages, drawn by D3. What stands in `data-chart` the server has worked out, in minutes
 * (webapp/web/times/charts.py); here it gets its places: at the width that there is, and anew when that changes, so that
 * text keeps its size on a phone, a desk and paper. Colours and dashes are the page's own (css/times.css).
 */

import { formatDefaultLocale } from "d3-format";
import { select } from "d3-selection";
import { bar } from "./bar.js";
import { bars } from "./bars.js";
import { learned } from "./learned.js";
import { sample } from "./marks.js";
import { run } from "./run.js";
import { span } from "./span.js";
import { strip } from "./strip.js";
import { trend } from "./trend.js";

const DRAWN = { bar, bars, learned, run, span, strip, trend };

/** As wide as a chart is on a sheet of A4, in CSS pixels, and one in a table; the style fits them to other paper. */
const PAPER = 700;
const CELL = 240;

/** @param {HTMLElement} place @param {number} width */
function draw(place, width) {
  const { chart, kind, point } = place.dataset;
  formatDefaultLocale({ decimal: point, thousands: "", grouping: [3], currency: ["", ""] });
  select(place).selectChildren().remove();
  DRAWN[kind](select(place), JSON.parse(chart), width);
  place.dataset.width = String(width);
}

const places = [...document.querySelectorAll("[data-chart]")];
const watch = new ResizeObserver((seen) => {
  for (const { target, contentRect } of seen) {
    const width = Math.round(contentRect.width);
    // One that is folded away has no width yet; it is drawn when it has.
    if (width && String(width) !== target.dataset.width) draw(target, width);
  }
});
for (const place of places) watch.observe(place);
for (const one of document.querySelectorAll("[data-sample]")) sample(one, one.dataset.sample);

// Nothing tells a page how wide its paper will be.
window.addEventListener("beforeprint", () => {
  for (const place of places) if (place.clientWidth) draw(place, place.closest("td") ? CELL : PAPER);
});
window.addEventListener("afterprint", () => {
  for (const place of places) if (place.clientWidth) draw(place, place.clientWidth);
});
