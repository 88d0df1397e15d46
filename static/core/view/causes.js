/** The known causes at a step, as the pages show them. */

import { clock } from "./figures.js";

/** @import { Say } from "../types.js" */

/**
 * Each cause with its number, its check and the step to go back to; and how often it is the one, where that is known.
 * @param {Record<string, any>[]} causes @param {Say} say
 */
export function causesView(causes, say) {
  return causes.map((cause, number) => ({ number, ...cause, odds: odds(cause, say) }));
}

/**
 * A sheet that was frozen before causes had an order of their own says nothing about it.
 * @param {{likely?: string?, takes_s?: number?}} cause @param {Say} say
 */
function odds({ likely, takes_s }, say) {
  return likely && takes_s ? say("cause-odds", { likely, time: clock(takes_s) }) : null;
}
