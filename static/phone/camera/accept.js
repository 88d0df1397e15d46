/** What a person may be asking the camera for, and what can pass for an answer: as webapp/decode/accept.py has it. */

import { BadInput } from "../../core/errors.js";
import { labelText, readLabel } from "../../core/labels.js";
import { readVin } from "../../core/vin.js";
import { isAnswer, isAsk } from "../../core/vouching.js";

/**
 * @typedef {"qr_code" | "data_matrix" | "code_39" | "code_128"} Format as browsers name them
 * @typedef {{formats: Format[], value: (text: string) => string?, provesItself: (value: string) => boolean}} Accept
 *   value: the plain form of a decoded text, null where it cannot be such an answer. provesItself: whether a value holds
 *   a check character that fits
 */

/**
 * @template T
 * @param {() => T} reading
 * @returns {T?}
 */
function orNull(reading) {
  try {
    return reading();
  } catch (error) {
    if (error instanceof BadInput) return null;
    throw error;
  }
}

/** One of the shop's labels. None is read without its check character. @type {Accept} */
const LABEL = {
  formats: ["qr_code"],
  value: (text) => orNull(() => labelText(readLabel(text))),
  provesItself: () => true,
};

/** A VIN, as makers put it on the pillar and behind the windscreen. @type {Accept} */
const VIN = {
  formats: ["qr_code", "data_matrix", "code_39", "code_128"],
  value: (text) => orNull(() => readVin(text).text),
  provesItself: (value) => readVin(value).check_digit === "match",
};

/** What a phone shows that asks for a countersign; it is signed or named by its digest. @type {Accept} */
const ASK = { formats: ["qr_code"], value: (text) => (isAsk(text) ? text : null), provesItself: () => true };

/** What a supervisor's phone shows in answer. @type {Accept} */
const ANSWER = { formats: ["qr_code"], value: (text) => (isAnswer(text) ? text : null), provesItself: () => true };

/** By the name that a page's button carries. @type {Record<string, Accept>} */
export const ACCEPTS = { label: LABEL, vin: VIN, ask: ASK, answer: ANSWER };
