/** How a coordinate is written. */

import { rounded } from "../numbers.js";

/**
 * A coordinate to a tenth of a pixel, written short; halves go up.
 * @param {number} value
 */
export function px(value) {
  return String(rounded(value, 1));
}
