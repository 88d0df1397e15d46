/** How a figure is written on a drawing. How wide it becomes is known where there is a screen. */

import { INCHES, inches } from "../lengths.js";
import { rounded } from "../numbers.js";

const THIN_SPACE = "\u2009";

/**
 * A number as on a workshop drawing: 1500 as `1 500` with a thin space, 0.25 as `0.3`, never `−0`.
 * @param {number} value
 */
export function figure(value, decimals = 1) {
  const size = rounded(Math.abs(value), decimals);
  const [whole, part = ""] = size.toFixed(decimals).split(".");
  const kept = part.replace(/0+$/, "");
  const grouped = whole.replace(/\B(?=(?:[0-9]{3})+$)/g, THIN_SPACE);
  return `${value < 0 && size ? "−" : ""}${grouped}${kept ? `.${kept}` : ""}`;
}

/**
 * A length with its unit, where it stands in a sentence.
 * @param {number} valueMm @param {string} unit
 */
export function withUnit(valueMm, unit) {
  return `${unit === INCHES ? inches(valueMm) : figure(valueMm)} ${unit}`;
}
