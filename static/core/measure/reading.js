/**
 * What a technician types, or a file states, made into a number: the one place that knows decimals, blanks and units.
 *
 * A reading is refused when it is not finite, carries another unit than its field, or lies outside the method's stated
 * physical range. Nothing is guessed: `1,506` is 1.506 (a decimal comma), and the range then says that no tape is that
 * short.
 */

import { BadInput, shown } from "../errors.js";
import { number } from "../numbers.js";
import { lengthOf, strip } from "../text.js";
import { Fraction } from "./fraction.js";

/** A unit, and the range, both ends included, in which a value can be physically true. */
export class Range {
  /** @param {string} unit @param {number} low @param {number} high */
  constructor(unit, low, high) {
    this.unit = unit;
    this.low = low;
    this.high = high;
  }

  /** @param {Fraction} value */
  holds(value) {
    return Fraction.ofDecimal(this.low).compare(value) <= 0 && Fraction.ofDecimal(this.high).compare(value) >= 0;
  }

  toString() {
    return `${number(this.low)} to ${number(this.high)}`;
  }
}

/** How each unit may be typed behind its number, in lower case. */
const SPELLINGS = new Map([
  ["mm", ["mm"]],
  ["deg", ["deg", "°", "º"]],
  ["mm/m", ["mm/m"]],
  ["kPa", ["kpa"]],
  ["bar", ["bar"]],
  ["degC", ["degc", "°c", "ºc"]],
  ["km", ["km"]],
  ["km/h", ["km/h"]],
  ["kg", ["kg"]],
  ["s", ["s"]],
  ["V", ["v"]],
  ["lx", ["lx", "lux"]],
  ["%", ["%"]],
]);

const LONGEST_TEXT = 40;
const BLANKS = /[\t \u00a0\u2007\u2009\u202f]+/g;
const NOT_FINITE = /^[+-]?(?:(?:inf|infinity|nan)\b|∞)/i;
const TYPED = new RegExp(
  [
    "^(?<sign>[+-]?) ?",
    "(?<whole>[0-9]{1,3}(?: [0-9]{3})+|[0-9]*)",
    "(?:[.,](?<part>[0-9]*))?",
    " ?(?<unit>[^0-9., +-][^0-9]*)?$",
  ].join(""),
);

/**
 * The reading as a float in the allowed range's unit.
 *
 * value: a number, or text with decimal comma or point, blanks between groups of three, and the field's own unit.
 * Throws BadInput (missing, not-a-number, not-finite, wrong-unit, out-of-range), naming field and value.
 * @param {unknown} value @param {string} field @param {Range} allowed
 */
export function read(value, field, allowed) {
  return readExact(value, field, allowed).toNumber();
}

/**
 * The reading exactly as its decimal digits say it: 0.38 is 38/100 here, not the nearest binary number.
 * @param {unknown} value @param {string} field @param {Range} allowed
 */
export function readExact(value, field, allowed) {
  const exact = typeof value === "string" ? typed(value, field, allowed) : stated(value, field, allowed);
  if (!allowed.holds(exact)) {
    throw new BadInput("out-of-range", field, `${field}=${shown(value)} must lie within ${allowed}`);
  }
  return exact;
}

/** @param {unknown} value @param {string} field @param {Range} allowed */
function stated(value, field, allowed) {
  if (value == null) throw missing(field, allowed);
  if (typeof value !== "number") {
    throw new BadInput("not-a-number", field, `${field}=${shown(value)} must be a number${inUnit(allowed)}`);
  }
  if (!Number.isFinite(value)) throw notFinite(value, field, allowed);
  return Fraction.ofDecimal(value);
}

/** @param {string} value @param {string} field @param {Range} allowed */
function typed(value, field, allowed) {
  const text = strip(value.replace(BLANKS, " ")).replaceAll("\u2212", "-");
  if (!text) throw missing(field, allowed);
  if (NOT_FINITE.test(text)) throw notFinite(value, field, allowed);
  const { sign, whole, part, unit } = (lengthOf(text) <= LONGEST_TEXT && TYPED.exec(text)?.groups) || {};
  if (!whole && !part) {
    const wanted = `one number${inUnit(allowed)}, such as 1506 or 1506,5`;
    throw new BadInput("not-a-number", field, `${field}=${shown(value)} must be ${wanted}`);
  }
  if (unit && !SPELLINGS.get(allowed.unit)?.includes(unit.toLowerCase())) {
    const accepted = allowed.unit ? `be in ${allowed.unit}` : "be a number without a unit";
    throw new BadInput("wrong-unit", field, `${field}=${shown(value)} must ${accepted}`);
  }
  return Fraction.ofDecimal(`${sign}${whole.replaceAll(" ", "")}.${part ?? ""}`);
}

/** @param {string} field @param {Range} allowed */
function missing(field, allowed) {
  return new BadInput("missing", field, `${field} is missing: give a number${inUnit(allowed)}`);
}

/** @param {unknown} value @param {string} field @param {Range} allowed */
function notFinite(value, field, allowed) {
  return new BadInput("not-finite", field, `${field}=${shown(value)} must be a finite number${inUnit(allowed)}`);
}

/** @param {Range} allowed */
function inUnit(allowed) {
  return allowed.unit ? ` in ${allowed.unit}` : "";
}
