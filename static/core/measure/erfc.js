/** The complementary error function, which JavaScript lacks. */

const SERIES_UP_TO = 2;
const TERMS = 60;

/**
 * erfc(x) = 1 - erf(x) to at least twelve digits: by the power series of erf near nought, by the continued fraction
 * (NIST Digital Library of Mathematical Functions, 7.6.2 and 7.9.1) where the subtraction would lose digits.
 * @param {number} x
 * @returns {number}
 */
export function erfc(x) {
  if (x < 0) return 2 - erfc(-x);
  return x < SERIES_UP_TO ? 1 - erfByItsSeries(x) : byItsContinuedFraction(x);
}

/** @param {number} x */
function erfByItsSeries(x) {
  let term = x;
  let sum = x;
  for (let odd = 3; term > sum * 1e-17; odd += 2) {
    term *= (2 * x * x) / odd;
    sum += term;
  }
  return ((2 * Math.exp(-x * x)) / Math.sqrt(Math.PI)) * sum;
}

/** @param {number} x */
function byItsContinuedFraction(x) {
  let tail = x;
  for (let term = TERMS; term > 0; term -= 1) tail = x + term / 2 / tail;
  return Math.exp(-x * x) / (Math.sqrt(Math.PI) * tail);
}
