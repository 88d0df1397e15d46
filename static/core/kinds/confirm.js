/** confirm: the technician says it is done. Also: leaving any step undone, with the reason. */

import { ended, heldAfter, words } from "./common.js";

/** @import { Records, Settles } from "../types.js" */

/** @type {Records} */
export function record(step, _was, _given, moment) {
  return ["confirmed", { held: heldAfter(step, moment) }];
}

/** @type {Settles} */
export function settle(_step, was, event) {
  return ended(was, event);
}

/** @type {Records} */
export function recordLeftUndone(_step, _was, given, _moment) {
  return ["left-undone", { reason: words(given, "reason", "why this step cannot be done") }];
}

/** @type {Settles} */
export function settleLeftUndone(_step, was, event) {
  return { ...was, status: "left-undone", reason: event.data.reason, done_at: event.at, done_by: event.person };
}
