/** What every page has about it where somebody has the phone. It needs nothing else: a phone loads it with its first step. */

/** @import { Say, View } from "../types.js" */

/**
 * What a page brings along to lock itself, where somebody has the phone.
 * @param {string?} name @param {number} after_s @param {Say} say
 * @returns {View}
 */
export function lockView(name, after_s, say) {
  return name ? { lock: { name, after_s, title: say("pin-locked") } } : {};
}
