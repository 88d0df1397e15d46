/** What is brought in when it is first needed, so that a job's first step has less to load. */

/** @import { JobState, Sheet } from "./types.js" */

/** @type {typeof import("./measured.js")} */
let held;

/** Bring in the sums. Whoever shows or answers a measure step awaits this before. */
export async function bringSums() {
  held ??= await import("./measured.js");
}

/** The sums, which somebody has brought in before. */
export function sums() {
  return held;
}

/**
 * Whether the step at hand asks for readings.
 * @param {Sheet} sheet @param {JobState} state
 */
export function measures(sheet, state) {
  return sheet.steps.some((/** @type {any} */ step) => step.id === state.current && step.kind === "measure");
}
