/**
 * The vehicle identification number (ISO 3779): cleaned, checked, and read back in groups.
 *
 * The check digit at position 9 (49 CFR 565.15) binds vehicles built for North America, whose first character is 1 to
 * 5. Elsewhere the position means something else, and nothing is concluded from it.
 */

import { BadInput, shown } from "./errors.js";
import { BLANK, lengthOf } from "./text.js";

/**
 * @typedef {"match" | "mismatch" | "not-applicable"} CheckDigit
 * @typedef {"line-end" | "blanks" | "lower-case" | "code-39-wrapper" | "leading-i"} Cleaning
 * @typedef {{text: string, cleaned: Cleaning[], check_digit: CheckDigit, valid: boolean}} Vin
 *   valid is false only where the check digit binds and does not match: likely a misread, to be confirmed
 */

export const LENGTH = 17;
const WEIGHTS = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];
const NORTH_AMERICA = "12345";
const DIGITS = "0123456789";
const LETTERS = "ABCDEFGHJKLMNPRSTUVWXYZ";
const LETTERS_WORTH = [1, 2, 3, 4, 5, 6, 7, 8, 1, 2, 3, 4, 5, 7, 9, 2, 3, 4, 5, 6, 7, 8, 9];
/** @type {Map<string, number>} */
const WORTH = new Map([
  ...[...DIGITS].map((digit) => /** @type {[string, number]} */ ([digit, Number(digit)])),
  ...[...LETTERS].map((letter, index) => /** @type {[string, number]} */ ([letter, LETTERS_WORTH[index]])),
]);
const CONFUSED_WITH = new Map([
  ["I", "1"],
  ["O", "0"],
  ["Q", "0"],
]);
/** Capitals that look like a Latin one; a keyboard left in the wrong layout types them unseen. */
const LOOK_ALIKES = [
  { script: "Cyrillic", theirs: "АВСЕНКМОРТХУЅІЈ", ours: "ABCEHKMOPTXYSIJ" },
  { script: "Greek", theirs: "ΑΒΕΖΗΙΚΜΝΟΡΤΥΧ", ours: "ABEZHIKMNOPTYX" },
];
const BLANKS = new RegExp(BLANK, "g");

/**
 * The VIN in a scanned or typed text.
 *
 * Throws BadInput (not-text, vin-empty, vin-length, vin-letter, vin-look-alike, vin-character), naming the position.
 * @param {unknown} text
 * @returns {Vin}
 */
export function readVin(text, field = "text") {
  if (typeof text !== "string") throw new BadInput("not-text", field, `${field}=${shown(text)} must be text`);
  const [vin, cleaned] = clean(text);
  checkCharacters(vin, field);
  const says = checkDigitSays(vin);
  return { text: vin, cleaned, check_digit: says, valid: says !== "mismatch" };
}

/**
 * The VIN as it is read back: maker (3), description (6), and the last eight as four and four.
 * @param {string} vin
 */
export function groups(vin) {
  return [vin.slice(0, 3), vin.slice(3, 9), vin.slice(9, 13), vin.slice(13)];
}

/**
 * The character that position 9 must hold for the other sixteen: 0 to 9, or X for ten.
 * @param {string} vin
 */
export function checkDigit(vin) {
  const sum = WEIGHTS.reduce((so_far, weight, index) => so_far + weight * (WORTH.get(vin[index]) ?? 0), 0);
  return sum % 11 === 10 ? "X" : String(sum % 11);
}

/**
 * Refuse a VIN pattern that can match nothing: 17 characters, ? for any, or a beginning that ends in *.
 * @param {string} pattern
 */
export function checkPattern(pattern, field = "vin") {
  const body = bodyOf(pattern);
  const fits = pattern.endsWith("*") ? lengthOf(body) < LENGTH : lengthOf(body) === LENGTH;
  if (!fits || ![...body].every((character) => character === "?" || WORTH.has(character))) {
    const accepted = "be 17 characters with ? for any one, or a beginning that ends in *, without I, O and Q";
    throw new BadInput("vin-pattern", field, `${field}=${shown(pattern)} must ${accepted}`);
  }
}

/**
 * Whether a well-formed VIN matches a pattern that checkPattern accepts.
 * @param {string} pattern @param {string} vin
 */
export function matches(pattern, vin) {
  const body = bodyOf(pattern);
  if (!pattern.endsWith("*") && vin.length !== body.length) return false;
  return vin.length >= body.length && [...body].every((want, index) => want === "?" || want === vin[index]);
}

/** @param {string} pattern */
function bodyOf(pattern) {
  return pattern.endsWith("*") ? pattern.slice(0, -1) : pattern;
}

/**
 * Take off what a scanner, a form or a clipboard put on, and say what it was.
 * @param {string} text
 * @returns {[string, Cleaning[]]}
 */
function clean(text) {
  /** @type {Cleaning[]} */
  const cleaned = [];
  let vin = text;
  /** @param {Cleaning} cleaning @param {string} after */
  const note = (cleaning, after) => {
    if (after !== vin) cleaned.push(cleaning);
    vin = after;
  };
  note("line-end", vin.replace(/^[\r\n\t\0\ufeff\u200b]+|[\r\n\t\0\ufeff\u200b]+$/g, ""));
  note("blanks", vin.replace(BLANKS, ""));
  note(
    "lower-case",
    vin.replace(/[a-z]+/g, (found) => found.toUpperCase()),
  );
  note("code-39-wrapper", vin.replace(/^\*+|\*+$/g, ""));
  if (lengthOf(vin) === LENGTH + 1) note("leading-i", vin.replace(/^I/, ""));
  return [vin, cleaned];
}

/** @param {string} vin @param {string} field */
function checkCharacters(vin, field) {
  if (!vin) {
    throw new BadInput("vin-empty", field, `${field} is empty: scan or type the 17 characters of the VIN`);
  }
  const characters = [...vin];
  if (characters.length !== LENGTH) {
    const message = `${field}=${shown(vin)} must have 17 characters, not ${characters.length}`;
    throw new BadInput("vin-length", field, message);
  }
  const wrong = characters.findIndex((character) => !WORTH.has(character));
  if (wrong >= 0) throw wrongCharacter(characters[wrong], `${field}=${shown(vin)}, position ${wrong + 1}: `, field);
}

/** @param {string} character @param {string} at @param {string} field */
function wrongCharacter(character, at, field) {
  const meant = CONFUSED_WITH.get(character);
  if (meant) return new BadInput("vin-letter", field, `${at}a VIN has no ${character}; is it ${meant}?`);
  for (const { script, theirs, ours } of LOOK_ALIKES) {
    const twin = ours[theirs.indexOf(character.toUpperCase())];
    if (twin === undefined) continue;
    const message = `${at}${script} ${character} looks like Latin ${twin}; switch the keyboard to Latin letters`;
    return new BadInput("vin-look-alike", field, message);
  }
  return new BadInput("vin-character", field, `${at}${shown(character)} must be a letter A to Z or a digit`);
}

/**
 * @param {string} vin
 * @returns {CheckDigit}
 */
function checkDigitSays(vin) {
  if (!NORTH_AMERICA.includes(vin[0])) return "not-applicable";
  return vin[8] === checkDigit(vin) ? "match" : "mismatch";
}
