/** What was typed into a form that was refused, for the same form to show again. Nothing is lost but a PIN. */

/** @import { Given, View } from "../types.js" */

const KEPT = ["text", "reason", "code"];

/**
 * `typed` holds the fields by form (a result's by its outcome) and the badge; `amiss` marks the field to mend.
 * @param {Given} given @param {string} wrong
 * @returns {View}
 */
export function typed(given, wrong) {
  const form = given.do === "result" ? `result-${given.outcome ?? ""}` : (given.do ?? "");
  /** @type {Record<string, any>} */
  const kept = { opened: true };
  for (const name of KEPT) if (given[name]) kept[name] = given[name];
  return { typed: { [form]: kept, badge: given.badge ?? "" }, amiss: wrong ? { [wrong]: true } : {} };
}
