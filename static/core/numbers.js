/** How a number is rounded and written, alike in Python and in JavaScript: one shop, one message, whoever answers. */

/**
 * A number as its shortest decimal: 1506.5, 1e-09, and 91 where Python has 91.0.
 * @param {number} value
 */
export function number(value) {
  const size = Math.abs(value);
  if (Number.isNaN(value)) return "nan";
  if (size === Number.POSITIVE_INFINITY) return value > 0 ? "inf" : "-inf";
  if (size === 0 || (size >= 1e-4 && size < 1e16)) return String(value);
  return value.toExponential().replace(/e([+-])(\d)$/, (_all, sign, digit) => `e${sign}0${digit}`);
}

/**
 * The value with so many decimals, halves up, in steps that every machine rounds alike.
 * @param {number} value @param {number} decimals
 */
export function rounded(value, decimals) {
  const scale = Number(`1e${decimals}`);
  return Math.floor(value * scale + 0.5) / scale;
}
