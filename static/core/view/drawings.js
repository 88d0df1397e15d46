/** A step's drawing as the job stands: the bay under it, what is placed solid, what comes next in the ink of here and now. */

import { inBay } from "../drawing/bay.js";

/** @import { Say, Sheet, Step, View } from "../types.js" */
/** @import { StepState } from "../types.js" */

/**
 * The step's drawing with `says`, lines that tell in words what the job adds to it; null where it has none.
 * @param {Sheet} sheet @param {Step} step @param {StepState} was @param {Say} say
 * @returns {View | null}
 */
export function drawingView(sheet, step, was, say) {
  const { drawing } = step;
  if (!drawing) return null;
  const placed = placedIn(drawing.svg, step.pairs ?? [], was, say);
  const { svg, words } = inBay(placed.svg, sheet.job.floor_plan, say, sheet.unit ?? "mm");
  return { ...drawing, svg, says: [...placed.words, ...words] };
}

/**
 * Of the targets that this step places, those that are there, and the one that is to be placed next.
 * @param {string} svg @param {Record<string, any>[]} pairs @param {StepState} was @param {Say} say
 */
function placedIn(svg, pairs, was, say) {
  const there = new Set(was.placed.map((one) => one.pair));
  const drawn = pairs.map((one, pair) => ({ ...one, pair })).filter(({ spot }) => svg.includes(mark(spot)));
  const done = drawn.filter(({ pair }) => there.has(pair));
  const next = drawn.find(({ pair }) => !there.has(pair));
  let made = svg;
  for (const { spot } of done) made = marked(made, spot, "there");
  if (next) made = marked(made, next.spot, "next");
  const spots = done.map((/** @type {any} */ { spot_name }) => spot_name).join("; ");
  const words = done.length ? [say("drawing-there", { spots })] : [];
  return { svg: made, words: next ? [...words, say("drawing-next", { spot: next.spot_name })] : words };
}

/** @param {string} spot */
function mark(spot) {
  return `data-spot="${spot}"`;
}

/** @param {string} svg @param {string} spot @param {string} look */
function marked(svg, spot, look) {
  return svg.replaceAll(mark(spot), `${mark(spot)} class="${look}"`);
}
