/**
 * countersign: a supervisor vouches for a step, or sends it back with the reason.
 *
 * By badge and PIN, checked before this is asked; or on the phone that the supervisor began with badge and PIN. For a
 * step of its own, and for a hold point after any other. Nobody vouches for themselves, on whichever phone.
 */

import { NotAllowed } from "../errors.js";
import { words } from "./common.js";

/** @import { Moment, Person, Records, Settles, StepState } from "../types.js" */

export const MAY_COUNTERSIGN = ["supervisor", "manager"];

/**
 * @param {Person?} person
 * @returns {person is Person}
 */
export function mayCountersign(person) {
  return person !== null && MAY_COUNTERSIGN.includes(person.role);
}

/**
 * The supervisor who vouches: whose badge and PIN were given, else whoever works with this phone. Throws NotAllowed: `witness-missing`, `witness-role` or `witness-self`.
 * @param {Moment} moment @param {string?} doer
 * @returns {Person}
 */
export function witnessOf(moment, doer) {
  const witness = moment.witness ?? (mayCountersign(moment.person) ? moment.person : null);
  if (witness === null) {
    const message = "badge is empty; a supervisor scans their badge and types their PIN";
    throw new NotAllowed("witness-missing", "badge", message);
  }
  if (!MAY_COUNTERSIGN.includes(witness.role)) {
    const is = `${witness.name} is ${witness.role}`;
    const message = `badge=${witness.code}: ${is}; a supervisor or manager must countersign`;
    throw new NotAllowed("witness-role", "badge", message);
  }
  if (witness.code === doer) {
    const message = `badge=${witness.code}: nobody countersigns their own work; ask another supervisor`;
    throw new NotAllowed("witness-self", "badge", message);
  }
  return witness;
}

/** @type {Records} */
export function record(_step, was, _given, moment) {
  return ["countersigned", { by: vouching(was, moment).code }];
}

/** @type {Records} */
export function recordReturned(_step, was, given, moment) {
  const by = vouching(was, moment).code;
  const reason = words(given, "reason", "what is to be done again");
  return ["returned", { steps: [...(moment.back ?? [])], reason, by }];
}

/**
 * Who vouches for what was done: at the step, or before it where it is a step of its own.
 * @param {StepState} was @param {Moment} moment
 */
function vouching(was, moment) {
  return witnessOf(moment, was.status === "held" ? was.done_by : (moment.doer ?? null));
}

/** @type {Settles} */
export function settle(_step, was, event) {
  const done = was.status === "held" ? {} : { done_at: event.at, done_by: event.person };
  return { ...was, status: "done", countersigned_by: event.data.by, ...done };
}
