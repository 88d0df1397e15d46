/** (sheet, events) -> the job's state. The one place that says what an event means. */

import { toldS } from "./clock.js";
import { SETTLES } from "./kinds/index.js";
import { rounded } from "./numbers.js";
import { newJob, newStep, stateOf } from "./state.js";

/** @import { Event, JobState, Sheet, Step, StepState } from "./types.js" */

export const SETTLED = ["done", "left-undone"];

/**
 * The state after these events, from the beginning or from a state kept earlier.
 * They are taken in the order of their places, so that the order in which they were heard of changes nothing. Whoever
 * gives a state must see to it that all of them stand behind those folded into it.
 * @param {Sheet} sheet @param {Iterable<Event>} events @param {JobState?} [state]
 * @returns {JobState}
 */
export function fold(sheet, events, state = null) {
  let held = state ?? { ...newJob(), current: currentStep(sheet, {}, {}) };
  for (const event of [...events].sort(byPlace)) held = apply(sheet, held, event);
  return held;
}

/**
 * Which of two events of a job stands first: by round, device and seq.
 * @param {Event} one @param {Event} other
 */
export function byPlace(one, other) {
  if (one.round !== other.round) return one.round - other.round;
  if (one.device !== other.device) return one.device < other.device ? -1 : 1;
  return one.seq - other.seq;
}

/**
 * The state after one more event. An event about a step that the sheet does not have changes nothing but the clock.
 * @param {Sheet} sheet @param {JobState} before @param {Event} event
 * @returns {JobState}
 */
export function apply(sheet, before, event) {
  const state = tick(before, event);
  const step = event.step ? stepOf(sheet, event.step) : null;
  const settle = SETTLES.get(event.kind);
  if (settle && step) return settled(sheet, state, step, settle(step, stateOf(state, step.id), event));
  return JOB_EVENTS.get(event.kind)?.(sheet, state, event) ?? state;
}

/**
 * @param {Sheet} sheet @param {string?} name
 * @returns {Step?}
 */
export function stepOf(sheet, name) {
  return sheet.steps.find((/** @type {Step} */ step) => step.id === name) ?? null;
}

/**
 * Whether the answers given on the way let this step stand.
 * @param {Step} step @param {Record<string, string>} answers
 */
export function applies(step, answers) {
  for (const name in step.only_if) if (!step.only_if[name].includes(answers[name])) return false;
  return true;
}

/**
 * The first step that applies and is neither done nor left undone; null when all are settled.
 * @param {Sheet} sheet @param {Record<string, StepState>} steps @param {Record<string, string>} answers
 * @returns {string?}
 */
export function currentStep(sheet, steps, answers) {
  for (const step of sheet.steps) {
    if (!SETTLED.includes(steps[step.id]?.status) && applies(step, answers)) return step.id;
  }
  return null;
}

/**
 * Give the time since the last event to whatever was going on: a pause, a hold point, or the step in hand.
 * @param {JobState} state @param {Event} event
 * @returns {JobState}
 */
function tick(state, event) {
  const clock = { at: event.at, mono_s: event.mono_s, boot: event.boot };
  const ticked = { ...state, clock, device: event.device, count: state.count + 1 };
  if (state.clock === null) return ticked;
  // A snapshot of an older version of the app tells neither whose clock that was nor how far ahead of it.
  const [spent, estimated, ahead_s] = toldS(state.clock, clock, state.ahead_s ?? 0, event.device !== state.device);
  ticked.estimated = state.estimated || estimated;
  ticked.ahead_s = ahead_s;
  if (state.phase !== "open" || !spent) return ticked;
  // Everything is settled and the job is not closed yet: nobody's step, but the job's time all the same.
  const pause = state.paused ?? (state.current === null ? "finishing" : null);
  if (pause !== null) {
    const pauses_s = { ...state.pauses_s, [pause]: rounded((state.pauses_s[pause] ?? 0) + spent, 3) };
    return { ...ticked, pauses_s };
  }
  const name = /** @type {string} */ (state.current);
  return { ...ticked, steps: { ...state.steps, [name]: spentAt(stateOf(state, name), spent, estimated) } };
}

/**
 * @param {StepState} step @param {number} spent @param {boolean} estimated
 * @returns {StepState}
 */
function spentAt(step, spent, estimated) {
  const kept = step.status === "held" ? "waited_s" : "worked_s";
  return { ...step, [kept]: rounded(step[kept] + spent, 3), estimated: step.estimated || estimated };
}

/**
 * @param {Sheet} sheet @param {JobState} state @param {Step} step @param {StepState} now
 * @returns {JobState}
 */
function settled(sheet, state, step, now) {
  const steps = { ...state.steps, [step.id]: { ...now, turn: now.turn + 1 } };
  const answered = step.kind === "choose" && now.status !== "open" && now.option;
  const answers = answered ? { ...state.answers, [step.asks]: /** @type {string} */ (now.option) } : state.answers;
  return { ...state, steps, answers, current: currentStep(sheet, steps, answers) };
}

/**
 * Steps begun anew: the time they took stays with them, what they said does not.
 * @param {Sheet} sheet @param {JobState} state @param {Event} event
 * @returns {JobState}
 */
function reopened(sheet, state, event) {
  const steps = { ...state.steps };
  const answers = { ...state.answers };
  for (const name of event.data.steps ?? []) {
    const step = stepOf(sheet, name);
    if (step === null) continue;
    const { attempt, undone, failures, wrong_scans, worked_s, waited_s, estimated } = stateOf(state, name);
    const kept = { failures, wrong_scans, worked_s, waited_s, estimated };
    const returned = event.kind === "returned" ? { by: event.data.by, reason: event.data.reason } : null;
    steps[name] = { ...newStep(), ...kept, attempt: attempt + 1, undone: undone + 1, returned };
    if (step.kind === "choose") delete answers[step.asks];
  }
  let troubles = state.troubles;
  if (event.kind === "troubled") troubles = [...troubles, { step: event.step, at: event.at, ...event.data }];
  return { ...state, steps, answers, troubles, current: currentStep(sheet, steps, answers) };
}

/**
 * @param {Sheet} _sheet @param {JobState} state @param {Event} event
 * @returns {JobState}
 */
function noted(_sheet, state, event) {
  const note = { step: event.step, at: event.at, person: event.person, text: event.data.text };
  return { ...state, notes: [...state.notes, note] };
}

/**
 * @param {Sheet} _sheet @param {JobState} state @param {Event} event
 * @returns {JobState}
 */
function ended(_sheet, state, event) {
  const phase = event.kind === "finished" ? "finished" : "abandoned";
  const end = { ended_at: event.at, ended_by: event.person, end_reason: event.data.reason ?? null };
  return { ...state, phase, paused: null, ...end };
}

/** @type {Map<string, (sheet: Sheet, state: JobState, event: Event) => JobState>} */
const JOB_EVENTS = new Map([
  ["started", (_sheet, state, event) => ({ ...state, started_at: state.started_at ?? event.at })],
  ["undone", reopened],
  ["returned", reopened],
  ["troubled", reopened],
  ["paused", (_sheet, state, event) => ({ ...state, paused: event.data.reason })],
  ["resumed", (_sheet, state) => ({ ...state, paused: null })],
  ["noted", noted],
  ["finished", ended],
  ["abandoned", ended],
]);
