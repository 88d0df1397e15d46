/** How numbers and times look on a page: the digits that the uncertainty allows, thin spaces, minutes and seconds. */

import { INCH_MM, INCHES, inches, inchesRead } from "../lengths.js";
import { rounded } from "../numbers.js";

/** @import { Say } from "../types.js" */

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
 * The unit as it is printed behind a figure: 'deg' -> '°', and that of a length as the shop has it.
 * @param {string} unit @param {string} [shop]
 */
export function unitSign(unit, shop = "mm") {
  return unit === "mm" ? shop : (SIGNS[unit] ?? unit);
}

/**
 * A length with its unit, as it is to be set or to be found: `1 500 mm`, `59 1/16 in`.
 * @param {number} valueMm @param {string} [shop]
 */
export function length(valueMm, shop = "mm") {
  return `${lengthFigure(valueMm, shop)} ${shop}`;
}

/** @param {number} valueMm @param {string} [shop] */
export function lengthFigure(valueMm, shop) {
  return shop === INCHES ? inches(valueMm) : trimmed(valueMm);
}

/**
 * A length that is finer than any rule, with its unit: `2.3 mm`, `0.091 in`.
 * @param {number} valueMm @param {string} [shop]
 */
export function finely(valueMm, shop = "mm") {
  return `${shop === INCHES ? figure(valueMm / INCH_MM, 3) : figure(valueMm, 1)} ${shop}`;
}

/**
 * A reading as it was typed.
 * @param {number} value @param {string} unit @param {string} [shop]
 */
export function asRead(value, unit, shop) {
  return unit === "mm" && shop === INCHES ? inchesRead(value) : trimmed(value);
}

/**
 * Value and U (k = 2) of a part, with the digits that U allows, and their unit.
 * @param {Record<string, any>} part @param {Say} say @param {string} [shop]
 */
export function measured({ value, U, unit }, say, shop) {
  const scale = scaleOf(unit, shop);
  const decimals = digitsFor(U / scale);
  const print = (/** @type {number} */ one) => say("as-it-is", { text: figure(one / scale, decimals) });
  return { value: print(value), U: print(U), unit: unitSign(unit, shop) };
}

/**
 * The scatter of a part's repeats.
 * @param {Record<string, any>} part @param {string} [shop]
 */
export function spread({ s, unit }, shop) {
  const scatter = s / scaleOf(unit, shop);
  return figure(scatter, digitsFor(2 * scatter));
}

/** @param {string} unit @param {string} [shop] */
function scaleOf(unit, shop) {
  return unit === "mm" && shop === INCHES ? INCH_MM : 1;
}
