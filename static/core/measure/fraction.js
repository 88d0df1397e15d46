/** Exact fractions of whole numbers, so that a decimal reading can be taken at its word: 0.38 is 38/100. */

const DECIMAL = /^([+-]?)([0-9]*)\.?([0-9]*)(?:e([+-]?[0-9]+))?$/;
/** More bits than a float holds; what is cut off beyond them is kept as one bit, and decides halves. */
const BITS = 66;

export class Fraction {
  /** @param {bigint} above @param {bigint} below more than nought */
  constructor(above, below = 1n) {
    this.above = above;
    this.below = below;
  }

  /**
   * What the digits say. A number stands for the shortest decimal that names it.
   * @param {string | number} decimal such as -1506.50 or 1e-7
   */
  static ofDecimal(decimal) {
    const [, sign, whole, part, exponent] = /** @type {string[]} */ (DECIMAL.exec(String(decimal)));
    const digits = BigInt(`${whole}${part}` || "0") * (sign === "-" ? -1n : 1n);
    const places = part.length - Number(exponent ?? 0);
    return places < 0 ? new Fraction(digits * 10n ** BigInt(-places)) : new Fraction(digits, 10n ** BigInt(places));
  }

  /**
   * What a float holds, to the last bit; its denominator is a power of two.
   * @param {number} value
   */
  static ofBinary(value) {
    let above = value;
    let below = 1n;
    for (; !Number.isInteger(above); above *= 2) below *= 2n;
    return new Fraction(BigInt(above), below);
  }

  /** @param {Fraction} other */
  plus(other) {
    return new Fraction(this.above * other.below + other.above * this.below, this.below * other.below);
  }

  /** @param {Fraction} other */
  minus(other) {
    return new Fraction(this.above * other.below - other.above * this.below, this.below * other.below);
  }

  /** @param {Fraction} other */
  times(other) {
    return new Fraction(this.above * other.above, this.below * other.below);
  }

  /** @param {Fraction} other not nought */
  over(other) {
    const sign = other.above < 0n ? -1n : 1n;
    return new Fraction(this.above * other.below * sign, this.below * other.above * sign);
  }

  /**
   * Negative where this is less than the other, positive where it is more, 0 where both are equal.
   * @param {Fraction} other
   */
  compare(other) {
    return Number(signOf(this.above * other.below - other.above * this.below));
  }

  /** The nearest float, the even one of two. */
  toNumber() {
    const size = this.above < 0n ? -this.above : this.above;
    const shift = BITS - size.toString(2).length + this.below.toString(2).length;
    const [above, below] = shift < 0 ? [size, this.below << BigInt(-shift)] : [size << BigInt(shift), this.below];
    const bits = (above / below) | (above % below ? 1n : 0n);
    const half = -Math.trunc(shift / 2);
    return Number(signOf(this.above) * bits) * 2 ** half * 2 ** (-shift - half);
  }
}

/** @param {bigint} value */
function signOf(value) {
  return value > 0n ? 1n : value < 0n ? -1n : 0n;
}

/**
 * The sum of floats, rounded once: the same whatever their order.
 * @param {number[]} values
 */
export function fsum(values) {
  const parts = values.map(Fraction.ofBinary);
  const below = 2n ** BigInt(Math.max(0, ...parts.map((part) => part.below.toString(2).length - 1)));
  const above = parts.reduce((sum, part) => sum + part.above * (below / part.below), 0n);
  return new Fraction(above, below).toNumber();
}
