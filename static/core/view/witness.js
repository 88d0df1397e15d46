/** Who may vouch for what waits, and the page as they see it. */

import { mayCountersign } from "../kinds/countersign.js";

/** @import { Person, View } from "../types.js" */

/**
 * The page with the ways to accept and to send back, for a supervisor whose work it is not.
 * @param {View} page @param {Person?} reader
 * @returns {View}
 */
export function forWitness(page, reader) {
  const vouch = page.step?.vouch;
  if (!vouch || !mayVouch(reader, vouch.doer)) return page;
  return { ...page, step: { ...page.step, vouch: { ...vouch, mine: true } } };
}

/** @param {Person?} reader @param {string?} doer */
export function mayVouch(reader, doer) {
  return mayCountersign(reader) && doer !== null && reader.code !== doer;
}
