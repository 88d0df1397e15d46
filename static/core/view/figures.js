/** How numbers and times look on a page: the digits that the uncertainty allows, thin spaces, minutes and seconds. */

import { rounded } from "../numbers.js";

export const THIN = "\u202f";
export const MINUS = "\u2212";

/** Units that are printed with a sign; the others as they are written. @type {Record<string, string>} */
const SIGNS = { deg: "°", degC: "°C" };

/**
 * Decimals to show so that the uncertainty has two significant figures: 1.14 -> 1, 0.122 -> 2, 34 -> 0; three at most.
 * @param {number} uncertainty
 */
export function digitsFor(uncertainty) {
  if (uncertainty <= 0) return 1;
  const digits = [10, 1, 0.1].findIndex((least) => uncertainty >= least);
  return digits < 0 ? 3 : digits;
}

/**
 * 1506.0 -> '1 506', with a real minus sign; a rounded nought has no sign.
 * @param {number} value @param {number} decimals
 */
export function figure(value, decimals) {
  const size = rounded(Math.abs(value), decimals);
  const [whole, part] = size.toFixed(decimals).split(".");
  const text = whole.replace(/\B(?=(\d{3})+$)/g, THIN);
  return `${value < 0 && size ? MINUS : ""}${text}${part ? `.${part}` : ""}`;
}

/**
 * A limit as its file gave it: no trailing noughts.
 * @param {number} value
 */
export function trimmed(value) {
  const part = rounded(Math.abs(value), 6).toFixed(6).split(".")[1].replace(/0+$/, "");
  return figure(value, part.length);
}

/**
 * 102 -> '1:42', 3723 -> '1:02:03'.
 * @param {number} seconds
 */
export function clock(seconds) {
  const whole = Math.max(0, Math.trunc(seconds));
  const [hours, minutes, left] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60, whole % 60];
  return hours ? `${hours}:${two(minutes)}:${two(left)}` : `${minutes}:${two(left)}`;
}

/** @param {number} value */
function two(value) {
  return String(value).padStart(2, "0");
}

/**
 * The unit as it is printed behind a figure: 'deg' -> '°'.
 * @param {string} unit
 */
export function unitSign(unit) {
  return SIGNS[unit] ?? unit;
}
