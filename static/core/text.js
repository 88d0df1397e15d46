/** Text as Python counts and trims it: by code points, and blanks as Unicode has them. */

export const BLANK = "[\\t-\\r\\x1c-\\x20\\x85\\xa0\\u1680\\u2000-\\u200a\\u2028\\u2029\\u202f\\u205f\\u3000]+";
const AROUND = new RegExp(`^${BLANK}|${BLANK}$`, "g");

/**
 * The text without the blanks around it. `trim` also takes a byte order mark and leaves some control characters.
 * @param {string} text
 */
export function strip(text) {
  return text.replace(AROUND, "");
}

/**
 * The first so many code points of a text.
 * @param {string} text @param {number} most
 */
export function cut(text, most) {
  return text.length <= most ? text : [...text].slice(0, most).join("");
}

/** @param {string} text */
export function lengthOf(text) {
  return [...text].length;
}
