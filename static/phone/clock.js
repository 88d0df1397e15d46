/**
 * Now, on the three clocks that an event carries. The one place where the phone reads a clock for the journal.
 *
 * The worker is stopped and started at will, so its own steady clock is laid onto the time at which it began. That
 * counts on over a restart. Where the wall's clock and the steady one part (somebody set the clock, the phone slept),
 * a new `boot` begins, and the interval is told as an estimate from the wall's clock.
 */

import { newId as idOf } from "../core/events.js";

const MOST_DRIFT_S = 2;

/** @typedef {{boot: string, drift_s: number, mono_s: number}} Kept what has to be remembered from reading to reading */

/**
 * @param {Kept | undefined} before
 * @returns {{clock: import("../core/types.js").Clock, kept: Kept}}
 */
export function readClock(before) {
  const wall_ms = Date.now();
  const mono_s = Math.round(performance.timeOrigin + performance.now()) / 1000;
  const drift_s = wall_ms / 1000 - mono_s;
  const goesOn = before && mono_s >= before.mono_s && Math.abs(drift_s - before.drift_s) <= MOST_DRIFT_S;
  const boot = goesOn ? before.boot : newId(wall_ms);
  return { clock: { at: new Date(wall_ms).toISOString(), mono_s, boot }, kept: { boot, drift_s, mono_s } };
}

/** The calendar day where the phone is. */
export function today() {
  return dayIn(new Date());
}

/**
 * The calendar day of an instant where the phone is.
 * @param {string} at
 */
export function dayOf(at) {
  return dayIn(new Date(at));
}

/**
 * An instant as the clock on the wall showed it: 08:15.
 * @param {string} at
 */
export function timeOf(at) {
  const then = new Date(at);
  return `${two(then.getHours())}:${two(then.getMinutes())}`;
}

/** @param {Date} then */
function dayIn(then) {
  return `${then.getFullYear()}-${two(then.getMonth() + 1)}-${two(then.getDate())}`;
}

/** @param {number} value */
function two(value) {
  return String(value).padStart(2, "0");
}

/**
 * A UUIDv7 of now and of chance.
 * @param {number} [unix_ms]
 */
export function newId(unix_ms = Date.now()) {
  const [high, low] = crypto.getRandomValues(new BigUint64Array(2));
  return idOf(unix_ms, ((high & 0x3ffn) << 64n) | low);
}

/** Whether a text is such an id. @param {string} text */
export function isId(text) {
  return /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/.test(text);
}
