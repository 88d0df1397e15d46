/**
 * Whether somebody is at work here, so that no other version of the app may take over: a job's page is open, or one on the
 * way into a job; or a job is in hand, whether its page is open or the phone has just died.
 *
 * Asked by the version that comes. It opens the storage as it is: its own way of opening would change the stores.
 */

import { salvage } from "./database.js";

/** Nobody can tell work from a night's rest after so long (webapp/core/clock.py); a job left so holds no version up. */
const LONGEST_MS = 12 * 3_600_000;

export async function isAtWork() {
  const pages = await self.clients.matchAll({ type: "window", includeUncontrolled: true });
  if (pages.some(({ url }) => new URL(url).pathname.startsWith("/jobs/"))) return true;
  const [devices, states] = await Promise.all([salvage("device"), salvage("states")]);
  const [me] = devices.found;
  return states.found.some(({ state }) => isInHand(state, me?.id, Date.now()));
}

/**
 * Worked on by this phone last, and neither paused nor over.
 * @param {import("../core/types.js").JobState} state @param {string} me @param {number} now_ms
 */
function isInHand({ phase, paused, device, clock }, me, now_ms) {
  if (phase !== "open" || paused || device !== me || !clock) return false;
  return Math.abs(now_ms - Date.parse(clock.at)) < LONGEST_MS;
}
