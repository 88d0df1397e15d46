/** The state of a job: what `fold` makes of a sheet and its events. Never changed; a change is a new value. */

/** @import { Clock, JobState, StepState } from "./types.js" */

export const PAUSES = ["parts", "customer", "other-job", "break", "equipment"];

/**
 * What is known of a step that nothing happened to. `worked_s` is the time at the step over all attempts, less pauses;
 * `waited_s` the time it was held for a countersign; `returned` by whom and why it was sent back.
 */
export function newStep() {
  return {
    attempt: 1,
    turn: 0,
    /** @type {"open" | "held" | "done" | "left-undone"} */
    status: "open",
    /** @type {string?} */ option: null,
    /** @type {Record<string, any>[]} */ placed: [],
    /** @type {string?} */ holding: null,
    /** @type {Record<string, any>?} */ scanned: null,
    wrong_scans: 0,
    /** @type {Record<string, number>[]} */ sets: [],
    /** @type {Record<string, any>?} */ measured: null,
    /** @type {string?} */ overruled_by: null,
    /** @type {string[]} */ photos: [],
    /** @type {Clock?} */ wait_from: null,
    /** @type {Record<string, any>?} */ outcome: null,
    failures: 0,
    /** @type {string?} */ reason: null,
    undone: 0,
    worked_s: 0,
    waited_s: 0,
    estimated: false,
    /** @type {string?} */ done_at: null,
    /** @type {string?} */ done_by: null,
    /** @type {string?} */ countersigned_by: null,
    /** @type {{by: string, reason: string}?} */ returned: null,
  };
}

const NEW_STEP = Object.freeze(newStep());

/**
 * A job before its first event. `steps` holds only the steps that something happened to; ask `stateOf`. `clock` is the
 * last event's, as `device` read it; `ahead_s` says how far the time counted so far is ahead of it.
 */
export function newJob() {
  return {
    /** @type {"open" | "finished" | "abandoned"} */
    phase: "open",
    /** @type {Record<string, ReturnType<typeof newStep>>} */ steps: {},
    /** @type {string?} */ current: null,
    /** @type {Record<string, string>} */ answers: {},
    /** @type {string?} */ paused: null,
    /** @type {Record<string, number>} */ pauses_s: {},
    /** @type {Record<string, any>[]} */ notes: [],
    /** @type {Record<string, any>[]} */ troubles: [],
    count: 0,
    /** @type {Clock?} */ clock: null,
    /** @type {string?} */ device: null,
    ahead_s: 0,
    /** @type {string?} */ started_at: null,
    /** @type {string?} */ ended_at: null,
    /** @type {string?} */ ended_by: null,
    /** @type {string?} */ end_reason: null,
    estimated: false,
  };
}

/**
 * @param {JobState} state @param {string?} name
 * @returns {StepState}
 */
export function stateOf(state, name) {
  return name !== null && Object.hasOwn(state.steps, name) ? state.steps[name] : NEW_STEP;
}
