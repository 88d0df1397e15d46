/**
 * What a technician types, or a file states, made into a number: the one place that knows decimals, blanks and units.
 *
 * A reading is refused when it is not finite, carries another unit than its field, or lies outside the method's stated
 * physical range. Nothing is guessed: `1,506` is 1.506 (a decimal comma), and the range then says that no tape is that
 * short. A length may be given in feet and inches too, and in a shop that works in inches a number without a unit is
 * one of inches. What comes back is always in mm.
 */

import { BadInput, shown } from "../errors.js";
import { INCH_MM, INCHES } from "../lengths.js";
import { number, rounded } from "../numbers.js";
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

/** In mm, exactly. */
const INCH = new Fraction(127n, 5n);
const INCH_SPELLINGS = ["in", "inch", "inches", '"', "\u2033", "\u201d", "''"];
/** The fractions that a rule has: an odd number of halves, quarters and so on, down to 1/64. */
const PARTS = ["2", "4", "8", "16", "32", "64"];
/** @type {[string, string][]} */
const SIGNS_FOR = [
  ["\u00bd", "1/2"],
  ["\u00bc", "1/4"],
  ["\u00be", "3/4"],
  ["\u215b", "1/8"],
  ["\u215c", "3/8"],
  ["\u215d", "5/8"],
  ["\u215e", "7/8"],
];
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

const SPAN = new RegExp(
  [
    "^(?<sign>[+-]?) ?",
    "(?:(?<feet>[0-9]+) ?(?:'|\u2032|ft) ?(?:- ?)?)?",
    "(?:(?<whole>[0-9]+)(?:[ -] ?(?<part>[0-9]+ ?/ ?[0-9]+))?|(?<alone>[0-9]+ ?/ ?[0-9]+))?",
    " ?(?<unit>[^0-9., +-][^0-9]*)?$",
  ].join(""),
  "i",
);

/**
 * The reading as a float in the allowed range's unit.
 *
 * value: a number, or text with decimal comma or point, blanks between groups of three, and the field's own unit.
 * Throws BadInput (missing, not-a-number, not-finite, wrong-unit, out-of-range), naming field and value.
 * @param {unknown} value @param {string} field @param {Range} allowed
 * @param {string} [unit] what a length without a unit is typed in
 */
export function read(value, field, allowed, unit) {
  return readExact(value, field, allowed, unit).toNumber();
}

/**
 * The reading exactly as its decimal digits say it: 0.38 is 38/100 here, not the nearest binary number.
 * @param {unknown} value @param {string} field @param {Range} allowed @param {string} [unit]
 */
export function readExact(value, field, allowed, unit) {
  const exact = typeof value === "string" ? typed(value, field, allowed, unit) : stated(value, field, allowed);
  if (!allowed.holds(exact)) {
    throw new BadInput("out-of-range", field, `${field}=${shown(value)} must lie within ${bounds(allowed, unit)}`);
  }
  return exact;
}

/**
 * Whether the field is one for inches.
 * @param {Range} allowed @param {string} [unit]
 */
export function inInches(allowed, unit) {
  return unit === INCHES && allowed.unit === "mm";
}

/** @param {Range} allowed @param {string} [unit] */
function bounds(allowed, unit) {
  if (!inInches(allowed, unit)) return String(allowed);
  const [low, high] = [allowed.low, allowed.high].map((bound) => number(rounded(bound / INCH_MM, 2)));
  return `${low} to ${high} in`;
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

/** @param {string} value @param {string} field @param {Range} allowed @param {string} [unit] */
function typed(value, field, allowed, unit) {
  const text = strip(value.replace(BLANKS, " ")).replaceAll("\u2212", "-");
  if (!text) throw missing(field, allowed, unit);
  if (NOT_FINITE.test(text)) throw notFinite(value, field, allowed, unit);
  const short = lengthOf(text) <= LONGEST_TEXT;
  const { sign, whole, part, unit: own = "" } = (short && TYPED.exec(text)?.groups) || {};
  const known = SPELLINGS.get(allowed.unit)?.includes(own.toLowerCase());
  const isLength = allowed.unit === "mm";
  if (whole || part) {
    const digits = Fraction.ofDecimal(`${sign}${whole.replaceAll(" ", "")}.${part ?? ""}`);
    if (isLength && (own ? INCH_SPELLINGS.includes(own.toLowerCase()) : unit === INCHES)) return digits.times(INCH);
    if (!own || known) return digits;
  }
  const exact = isLength && short ? span(text, unit) : null;
  if (exact) return exact;
  if (whole || part) {
    const accepted = allowed.unit ? `be in ${allowed.unit}` : "be a number without a unit";
    throw new BadInput("wrong-unit", field, `${field}=${shown(value)} must ${accepted}`);
  }
  const such = inInches(allowed, unit) ? "59 1/4 or 59.25" : "1506 or 1506,5";
  const wanted = `one number${inUnit(allowed, unit)}, such as ${such}`;
  throw new BadInput("not-a-number", field, `${field}=${shown(value)} must be ${wanted}`);
}

/**
 * Feet, inches and a fraction of an inch, in mm; null where that is not what the text says.
 * @param {string} given @param {string} [unit]
 * @returns {Fraction?}
 */
function span(given, unit) {
  const text = SIGNS_FOR.reduce((made, [sign, fraction]) => made.replaceAll(sign, ` ${fraction}`), given);
  const { sign, feet, whole, part, alone, unit: own = "" } = SPAN.exec(strip(text.replace(BLANKS, " ")))?.groups ?? {};
  const fraction = (part ?? alone ?? "").replaceAll(" ", "");
  if (!feet && !fraction) return null;
  if (own ? !INCH_SPELLINGS.includes(own.toLowerCase()) : unit !== INCHES && !feet) return null;
  const [top, parts] = fraction.split("/");
  const rule = PARTS.includes(parts) && Number(top) % 2 === 1 && Number(top) < Number(parts) && !top.startsWith("0");
  if (fraction && !rule) return null;
  const size = Fraction.ofDecimal(feet ?? "")
    .times(new Fraction(12n))
    .plus(Fraction.ofDecimal(whole ?? ""))
    .plus(fraction ? new Fraction(BigInt(top), BigInt(parts)) : new Fraction(0n));
  return size.times(INCH).times(new Fraction(sign === "-" ? -1n : 1n));
}

/** @param {string} field @param {Range} allowed @param {string} [unit] */
function missing(field, allowed, unit) {
  return new BadInput("missing", field, `${field} is missing: give a number${inUnit(allowed, unit)}`);
}

/** @param {unknown} value @param {string} field @param {Range} allowed @param {string} [unit] */
function notFinite(value, field, allowed, unit) {
  return new BadInput("not-finite", field, `${field}=${shown(value)} must be a finite number${inUnit(allowed, unit)}`);
}

/** @param {Range} allowed @param {string} [unit] */
function inUnit(allowed, unit) {
  if (inInches(allowed, unit)) return " in inches";
  return allowed.unit ? ` in ${allowed.unit}` : "";
}
