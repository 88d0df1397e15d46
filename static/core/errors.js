/**
 * The one error tree of Baybook and the one JSON shape in which an error leaves the house: which rule (`code`), where
 * (`field`, empty when no single field is to blame) and what now (`message`). webapp/core/errors.py draws the tree.
 */

import { number } from "./numbers.js";
import { cut, lengthOf } from "./text.js";

/** A message quotes at most this much of a refused value. */
export const SHOWN_CHARACTERS = 60;

/** Something Baybook refuses. */
export class BaybookError extends Error {
  /** @param {string} code @param {string} field @param {string} message */
  constructor(code, field, message) {
    super(message);
    this.code = code;
    this.field = field;
  }

  asDict() {
    return { error: { code: this.code, field: this.field, message: this.message } };
  }

  /**
   * The same error with its field and message seen from one level up: `x_mm` -> `points[2].x_mm`.
   * @param {string} outer
   * @returns {BaybookError}
   */
  inside(outer) {
    const Kind = /** @type {typeof BaybookError} */ (this.constructor);
    if (!this.field) return new Kind(this.code, outer, `${outer}: ${this.message}`);
    const named = this.message.startsWith(this.field);
    return new Kind(this.code, `${outer}.${this.field}`, named ? `${outer}.${this.message}` : this.message);
  }
}

/** The value cannot be used as it stands. */
export class BadInput extends BaybookError {}

/** There is nothing by that name. */
export class NotFound extends BaybookError {}

/** This person, or this step, may not do that. */
export class NotAllowed extends BaybookError {}

/** The step or the attempt is no longer the current one: a double tap, an old page, another phone. */
export class Stale extends BaybookError {}

/** The same thing is already there, with other content. */
export class Conflict extends BaybookError {}

/** There is no room left or the storage is busy or away. Nothing was kept; the same request may pass later. */
export class Unavailable extends BaybookError {}

/**
 * A refused value quoted for a message: text in quotes, the rest as JSON would have it, long ones cut.
 * @param {unknown} value
 */
export function shown(value) {
  const text = typeof value === "string" ? value : inJson(value);
  const quoted = typeof value === "string" ? `'${text}'` : text;
  if (lengthOf(quoted) <= SHOWN_CHARACTERS) return quoted;
  return `${cut(quoted, SHOWN_CHARACTERS)}… (${lengthOf(text)} characters)`;
}

/** @param {unknown} value */
function inJson(value) {
  return typeof value === "number" ? number(value) : JSON.stringify(value ?? null);
}
