/** Whether the clear floor fits the bay, in words: as it was worked out with the plan, or that it was not. */

import { roomy, roomyUnit } from "../lengths.js";
import { rounded } from "../numbers.js";
import { length } from "./figures.js";

/** @import { Say } from "../types.js" */

/**
 * `fit` is what the shop's server worked out; undefined or null where the job was planned on the phone.
 * @param {Record<string, any> | null | undefined} fit @param {Say} say @param {string | undefined} unit
 */
export function fitView(fit, say, unit) {
  if (!fit?.known) return { class: "close", text: `◐ ${say(fit ? "area-no-plan" : "area-unknown")}` };
  const { bay, fits, shift } = fit;
  const [clear, by] = [length(rounded(Math.abs(fit.clearance_mm), 0), unit), fit.by ?? "edge"];
  if (fits && fit.middle) return { class: "inside", text: `● ${say("area-fits-middle", { bay, clear })}` };
  const where = whereOf(fit, say, unit);
  if (fits) return { class: "inside", text: `● ${say("area-fits", { bay, clear, by, where })}` };
  const told = say("area-not", { bay, short: clear, by, where });
  return { class: "outside", text: `⊗ ${told} ${shiftOf(shift, say, unit)}` };
}

/** @param {Record<string, any>} fit @param {Say} say @param {string} [unit] */
function whereOf({ x_mm, y_mm }, say, unit) {
  const [along, aside] = [x_mm, y_mm].map((mm) => roomy(Math.abs(mm), unit));
  const [x, y] = [x_mm >= 0 ? "ahead" : "behind", y_mm >= 0 ? "left" : "right"];
  return say("area-where", { along, x, aside, y, unit: roomyUnit(unit) });
}

/** @param {[number, number]?} shift @param {Say} say @param {string} [unit] */
function shiftOf(shift, say, unit) {
  if (!shift) return say("area-no-shift");
  const [x, y] = shift;
  const moves = [];
  if (x) moves.push(say("area-shift-x", { length: length(Math.abs(x), unit), to: x > 0 ? "forward" : "back" }));
  if (y) moves.push(say("area-shift-y", { length: length(Math.abs(y), unit), to: y > 0 ? "left" : "right" }));
  return say("area-shift", { moves: moves.join(", ") });
}
