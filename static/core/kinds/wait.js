/** wait: a countdown that starts with a tap and survives a reload, since its start is an event. */

import { intervalS } from "../clock.js";
import { BadInput } from "../errors.js";
import { ended, heldAfter } from "./common.js";

/** @import { Clock, Records, Settles, Step, StepState } from "../types.js" */

/**
 * Seconds still to wait; the whole time where the countdown has not been started.
 * @param {Step} step @param {StepState} was
 * @param {Clock} now
 * @returns {number}
 */
export function leftS(step, was, now) {
  return was.wait_from === null ? step.wait_s : Math.max(0, step.wait_s - intervalS(was.wait_from, now)[0]);
}

/**
 * Throws BadInput `wait-running` where the countdown runs already.
 * @type {Records}
 */
export function recordStart(_step, was, _given, _moment) {
  if (was.wait_from !== null) {
    const message = "do=start-wait: the countdown is running already; let it run out";
    throw new BadInput("wait-running", "do", message);
  }
  return ["wait-started", {}];
}

/** @type {Settles} */
export function settleStart(_step, was, event) {
  return { ...was, wait_from: { at: event.at, mono_s: event.mono_s, boot: event.boot } };
}

/**
 * Throws BadInput `wait-not-over` where time is left.
 * @type {Records}
 */
export function record(step, was, _given, moment) {
  const left = leftS(step, was, moment.clock);
  if (left > 0) {
    const message = `do=wait: ${Math.ceil(left)} s are left; go on when the countdown has run out`;
    throw new BadInput("wait-not-over", "do", message);
  }
  return ["waited", { held: heldAfter(step, moment) }];
}

/** @type {Settles} */
export function settle(_step, was, event) {
  return ended(was, event);
}
