/**
 * countersign: a supervisor's badge and PIN, checked before this is asked.
 *
 * For a step of its own, and for a hold point after any other.
 */

import { NotAllowed } from "../errors.js";

/** @import { Moment, Person, Records, Settles } from "../types.js" */

export const MAY_COUNTERSIGN = ["supervisor", "manager"];

/**
 * The supervisor who vouches. Throws NotAllowed: `witness-missing`, `witness-role` or `witness-self`.
 * @param {Moment} moment @param {string?} doer
 * @returns {Person}
 */
export function witnessOf(moment, doer) {
  const witness = moment.witness;
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
  const doer = was.status === "held" ? was.done_by : (moment.person?.code ?? null);
  return ["countersigned", { by: witnessOf(moment, doer).code }];
}

/** @type {Settles} */
export function settle(_step, was, event) {
  const done = was.status === "held" ? {} : { done_at: event.at, done_by: event.person };
  return { ...was, status: "done", countersigned_by: event.data.by, ...done };
}
