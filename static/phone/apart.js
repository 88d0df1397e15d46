/** What whoever opens a job should look at, worked out when the shop was heard of and kept with the job. */

import { crossings } from "../core/crossing.js";
import { byPlace } from "../core/fold.js";

/** @import { Shown } from "../core/crossing.js" */
/** @import { Event, Sheet } from "../core/types.js" */

/**
 * Two phones' crossings hang on the events; where the server decided otherwise, only it can tell.
 * @param {Sheet} sheet @param {Event[]} events @param {{event: string, what: string, phone: any, server: any}[]} told
 * @returns {Shown[]}
 */
export function toLookAt(sheet, events, told) {
  const known = new Map(events.map((event) => [event.id, event]));
  /** @type {Shown[]} */
  const found = [];
  for (const { event: id, ...one } of told) {
    const event = known.get(id);
    if (event) found.push({ event, ...one });
  }
  const several = new Set(events.map((event) => event.device)).size > 1;
  for (const { event, why, other } of several ? crossings(sheet, events) : []) found.push({ event, what: why, other });
  return found.sort((one, other) => byPlace(one.event, other.event) || (one.what < other.what ? -1 : 1));
}
