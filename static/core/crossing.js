/**
 * Where two devices worked the same step without knowing of each other, or went on after the job had ended.
 *
 * Both events are kept and the later one counts; this tells the pairs, so that whoever opens the job can look at them.
 * It hangs on the events alone, so both sides tell the same pairs, whichever was heard of first.
 */

import { apply, byPlace, fold } from "./fold.js";
import { SETTLES } from "./kinds/index.js";
import { stateOf } from "./state.js";

/** @import { Event, Sheet } from "./types.js" */

/**
 * `event` was made on another state of the step than the one it stands on; `other` is what its maker had not seen.
 * `why`: `same-step`; `job-ended` where `other` ended the job, the only one whose `step` may be null; `ended-open` where
 * the event finished the job although the step is open, which `other` has begun or opened again.
 * @typedef {{why: "same-step" | "job-ended" | "ended-open", step: string?, event: Event, other: Event}} Crossing
 *
 * One thing that whoever opens the job should look at: the event, what about it, what either side made of it. For a
 * crossing `what` is its `why`, and `other` the event of the other device.
 * @typedef {{event: Event, what: string, phone?: any, server?: any, other?: Event?}} Shown
 */

/**
 * Every crossing of a job, in the order of the later events' places.
 * @param {Sheet} sheet @param {Iterable<Event>} events
 * @returns {Crossing[]}
 */
export function crossings(sheet, events) {
  const found = [];
  /** @type {Map<string, Event>} */
  const last = new Map();
  /** @type {Event?} */
  let end = null;
  let state = fold(sheet, []);
  for (const event of [...events].sort(byPlace)) {
    const { step, device } = event;
    const other = step && SETTLES.has(event.kind) ? last.get(step) : undefined;
    if (end && end.device !== device && state.phase !== "open") {
      found.push({ why: /** @type {const} */ ("job-ended"), step, event, other: end });
    } else if (other && other.device !== device && !isOn(event, stateOf(state, step))) {
      found.push({ why: /** @type {const} */ ("same-step"), step, event, other });
    } else if (event.kind === "finished" && state.current) {
      const unknown = unheard(last, state.current, event);
      if (unknown) found.push({ why: /** @type {const} */ ("ended-open"), step: state.current, event, other: unknown });
    }
    state = apply(sheet, state, event);
    if (!end && state.phase !== "open") end = event;
    for (const name of touched(event)) last.set(name, event);
  }
  return found;
}

/** @param {Event} event @param {{attempt: number, turn: number}} was */
function isOn(event, was) {
  return event.attempt === was.attempt && event.turn === was.turn;
}

/**
 * What another device did last at the step; or anywhere, where that made the step stand.
 * @param {Map<string, Event>} last @param {string} step @param {Event} event
 * @returns {Event | undefined}
 */
function unheard(last, step, event) {
  const theirs = new Map([...last].filter(([, one]) => one.device !== event.device));
  return theirs.get(step) ?? [...theirs.values()].sort(byPlace).at(-1);
}

/**
 * The steps that the event moves on or begins anew.
 * @param {Event} event
 * @returns {string[]}
 */
function touched({ kind, step, data }) {
  if (kind === "undone" || kind === "returned" || kind === "troubled") return data.steps ?? [];
  return step && SETTLES.has(kind) ? [step] : [];
}
