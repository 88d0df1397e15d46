/** A step's page as its reader has it: with the short text, the full one in a fold, and the button that changes it. */

import { stepOf } from "../fold.js";
import { mayChoose } from "../short.js";

/** @import { Person, Sheet, View } from "../types.js" */

/**
 * The page that `jobPage` or `stepPage` made of this sheet, for whoever reads it. Put on when all else of the page is made,
 * so that nothing but `do` can come out otherwise.
 * @param {View} page @param {Sheet} sheet @param {Person?} person
 * @returns {View}
 */
export function forReader(page, sheet, person) {
  const part = ["step", "seen"].find((one) => one in page);
  if (!part || person === null) return page;
  const view = page[part];
  const step = stepOf(sheet, view.id);
  if (!step?.short) return page;
  const short = (person.short ?? []).includes(step.section);
  const read = short ? { do: step.short, full: view.do } : {};
  const choice = part === "step" && mayChoose(person) ? { texts: { short } } : {};
  return { ...page, [part]: { ...view, ...read, ...choice } };
}
