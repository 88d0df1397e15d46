/**
 * result: the scan tool's own verdict, written down.
 *
 * Baybook never declares a sensor calibrated on its own authority.
 */

import { BadInput, shown } from "../errors.js";
import { cut, strip } from "../text.js";
import { ended, heldAfter, words } from "./common.js";

/** @import { Records, Settles } from "../types.js" */

export const OUTCOMES = ["done", "failed", "not-run"];

/**
 * Throws BadInput `outcome-unknown`, or `text-missing` where a failure lacks its text or a run its reason.
 * @type {Records}
 */
export function record(step, _was, given, moment) {
  const outcome = given.outcome ?? "";
  if (!OUTCOMES.includes(outcome)) {
    const message = `outcome=${shown(outcome)} is not known; choose one of ${OUTCOMES.join(", ")}`;
    throw new BadInput("outcome-unknown", "outcome", message);
  }
  const data = {
    outcome,
    code: cut(strip(given.code ?? ""), 200),
    text: cut(strip(given.text ?? ""), 2000),
    reason: "",
  };
  if (outcome === "failed") return ["resulted", { ...data, text: words(given, "text", "what the scan tool says") }];
  if (outcome === "not-run") data.reason = words(given, "reason", "why the calibration was not run");
  return ["resulted", { ...data, held: heldAfter(step, moment) }];
}

/** @type {Settles} */
export function settle(_step, was, event) {
  const { outcome, code = "", text = "", reason = "" } = event.data;
  const changes = { outcome: { outcome, code, text, reason } };
  if (outcome === "failed") return { ...was, ...changes, failures: was.failures + 1 };
  return ended(was, event, changes);
}
