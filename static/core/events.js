/**
 * The journal's one record: something that happened on a job, told in the past tense.
 *
 * An event is never changed and never removed; the state of a job is what `fold` makes of its events. `round` says what
 * its maker knew of other devices (see `nextRound`); with device and seq it is the event's place in the job. `before` is the
 * SHA-256 of the line of its device's event before this one, where there is one.
 */

import { BadInput, shown } from "./errors.js";

/** @import { Event } from "./types.js" */

/** @typedef {{round: number, device: string, seq: number}} Place */

export const KINDS = [
  "started",
  "confirmed",
  "chosen",
  "scanned",
  "measured",
  "overruled",
  "photographed",
  "wait-started",
  "waited",
  "countersigned",
  "returned",
  "resulted",
  "left-undone",
  "undone",
  "paused",
  "resumed",
  "noted",
  "troubled",
  "finished",
  "abandoned",
];

const INSTANT = /^\d{4}-\d{2}-\d{2}T\d{2}:\d{2}:\d{2}\.\d{3}Z$/;

/** @param {unknown} value */
const isText = (value) => typeof value === "string" && value !== "";
/** @param {unknown} value */
const isTextOrNull = (value) => value === null || isText(value);
/** @param {unknown} value */
const isDigestOrNull = (value) => value === null || (typeof value === "string" && /^[0-9a-f]{64}$/.test(value));
/** @param {unknown} value */
const isObject = (value) => typeof value === "object" && value !== null && !Array.isArray(value);
/** @param {number} least */
const countsFrom = (least) => (/** @type {any} */ value) => Number.isInteger(value) && value >= least;

/**
 * Field -> what it must be, and whether it is.
 * @type {Record<string, [(value: any) => boolean, string]>}
 */
const TYPES = {
  id: [isText, "text"],
  job: [isText, "text"],
  device: [isText, "text"],
  boot: [isText, "text"],
  step: [isTextOrNull, "text or null"],
  person: [isTextOrNull, "text or null"],
  seq: [countsFrom(1), "a whole number from 1"],
  attempt: [countsFrom(1), "a whole number from 1"],
  turn: [countsFrom(0), "a whole number from 0"],
  round: [countsFrom(0), "a whole number from 0"],
  before: [isDigestOrNull, "a SHA-256 in hexadecimal, or null"],
  at: [isInstant, "an instant such as 2026-03-02T08:00:00.000Z"],
  mono_s: [Number.isFinite, "a finite number of seconds"],
  data: [isObject, "an object"],
};
const KNOWN = [...Object.keys(TYPES), "kind"].sort();
const OPTIONAL = { person: null, data: {}, round: 0 };
/** What stands nowhere where there is nothing to say. */
const UNSAID = ["before"];

/**
 * One spelling only, so that every reader of a journal, in whatever language, gets the same instant.
 * @param {unknown} value
 */
function isInstant(value) {
  if (typeof value !== "string" || !INSTANT.test(value)) return false;
  const at = Date.parse(value);
  return !Number.isNaN(at) && new Date(at).toISOString() === value;
}

/**
 * Read an event from a journal; a missing or unknown field, or one of the wrong type, is named. Throws BadInput:
 * `event-fields`, `event-kind` or `event-type`.
 * @param {Record<string, any>} given
 * @returns {Event}
 */
export function fromDict(given) {
  const unknown = Object.keys(given).filter((name) => !KNOWN.includes(name));
  const needed = KNOWN.filter((name) => !UNSAID.includes(name) && !Object.hasOwn(OPTIONAL, name));
  const missing = needed.filter((name) => !Object.hasOwn(given, name));
  const [wrong] = [...unknown.sort(), ...missing];
  if (wrong !== undefined) {
    const message = `${wrong} is missing or unknown; an event has ${KNOWN.join(", ")}`;
    throw new BadInput("event-fields", wrong, message);
  }
  if (!KINDS.includes(given.kind)) {
    const message = `kind=${shown(given.kind)} is not known; expected one of ${KINDS.join(", ")}`;
    throw new BadInput("event-kind", "kind", message);
  }
  for (const [name, [fits, what]] of Object.entries(TYPES)) {
    if (Object.hasOwn(given, name) && !fits(given[name])) {
      throw new BadInput("event-type", name, `${name}=${shown(given[name])} must be ${what}`);
    }
  }
  return /** @type {Event} */ ({ ...OPTIONAL, ...given });
}

/**
 * Where the event stands among those of its job, whenever and by whichever way it came.
 * @param {Event} event
 * @returns {Place}
 */
export function place({ round, device, seq }) {
  return { round, device, seq };
}

/**
 * The round of a device's next event, given the place of the last event of the job that it knows.
 *
 * A device stays in its round until it has learned of something that another one did since. So an event always stands
 * behind everything that its maker knew, and what two devices did without knowing of each other stands one whole run
 * after the other, in the same order on every device, whichever run was heard of first.
 * @param {Place?} last @param {string} device
 */
export function nextRound(last, device) {
  if (last === null) return 0;
  return last.device === device ? last.round : last.round + 1;
}

/**
 * A UUIDv7 (RFC 9562, 5.7): sorts by time of making, unique by 74 random bits. Identity only; order is the journal's.
 * @param {number} unixMs @param {bigint} noise 74 random bits
 */
export function newId(unixMs, noise) {
  const time = (BigInt(unixMs) & ((1n << 48n) - 1n)) << 80n;
  const random = (((noise >> 62n) & 0xfffn) << 64n) | (noise & ((1n << 62n) - 1n));
  const text = (time | (0x7n << 76n) | (0b10n << 62n) | random).toString(16).padStart(32, "0");
  return text.replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
}
