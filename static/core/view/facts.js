/** What was said at a step, in sentences: for whoever sees it again, and for a supervisor who vouches for it. */

/** @import { Say, Step, StepState } from "../types.js" */

/** @param {Step} step @param {StepState} was @param {Say} say @returns {string[]} */
export function facts(step, was, say) {
  const found = [];
  if (was.option) {
    const chosen = step.options.find((/** @type {any} */ one) => one.value === was.option);
    found.push(say("fact-option", { option: chosen?.label ?? was.option }));
  }
  for (const one of was.placed) found.push(say("fact-placed", { target: one.target || "–", spot: one.spot || "–" }));
  if (was.measured) found.push(say(`verdict-${was.measured.verdict}`));
  if (was.outcome) found.push(say(`outcome-${was.outcome.outcome}`));
  if (was.reason) found.push(was.reason);
  if (was.countersigned_by) found.push(say("fact-countersigned", { by: was.countersigned_by }));
  return found;
}
