/**
 * choose: one of several answers; the answer may decide which later steps apply, or stop the work until something is
 * put right.
 */

import { BadInput, shown } from "../errors.js";
import { ended, heldAfter } from "./common.js";

/** @import { Records, Settles } from "../types.js" */

/**
 * Throws BadInput `option-unknown` where the answer is none of the step's.
 * @type {Records}
 */
export function record(step, _was, given, moment) {
  const value = given.option ?? "";
  const option = step.options.find((/** @type {any} */ one) => one.value === value);
  if (!option) {
    const known = step.options.map((/** @type {any} */ one) => one.value).join(", ");
    const message = `option=${shown(value)} is not an answer here; choose one of ${known}`;
    throw new BadInput("option-unknown", "option", message);
  }
  if (option.blocks) return ["chosen", { option: value, blocked: true }];
  return ["chosen", { option: value, held: heldAfter(step, moment) }];
}

/** @type {Settles} */
export function settle(_step, was, event) {
  const option = event.data.option;
  return event.data.blocked ? { ...was, option } : ended(was, event, { option });
}
