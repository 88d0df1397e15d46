/** What every job page has around it: which job, which part of it, and the chalk line. */

import { applies, SETTLED } from "../fold.js";
import { rounded } from "../numbers.js";
import { stateOf } from "../state.js";

/** @import { Clock, JobState, Say, Sheet, Step, View } from "../types.js" */

/**
 * The steps that stand, as far as the answers given so far tell.
 * @param {Sheet} sheet @param {JobState} state
 * @returns {Step[]}
 */
export function applicable(sheet, state) {
  return sheet.steps.filter((/** @type {Step} */ step) => applies(step, state.answers));
}

/**
 * Head and chalk line. `line` is how far the work has come, in percent of the steps.
 * @param {Sheet} sheet @param {JobState} state @param {Clock} _now @param {Say} say
 * @returns {View}
 */
export function frame(sheet, state, _now, say) {
  const steps = applicable(sheet, state);
  const settled = steps.filter((step) => SETTLED.includes(stateOf(state, step.id).status)).length;
  const { job, vehicle } = sheet;
  const of = steps.length;
  return {
    job: job.id,
    url: `/jobs/${job.id}`,
    order: job.repair_order || say("job-day-check"),
    vehicle: vehicle ? `${vehicle.maker} ${vehicle.model}` : "",
    section: sectionTitle(sheet, state, say),
    of,
    settled,
    line: of ? rounded((100 * settled) / of, 2) : 100,
    line_says: say("job-line", { settled, of }),
  };
}

/** @param {Sheet} sheet @param {JobState} state @param {Say} say @returns {string} */
function sectionTitle(sheet, state, say) {
  const section = sheet.sections.find((/** @type {any} */ one) => state.current?.startsWith(`${one.id}/`));
  if (!section) return "";
  const { title, calibrations } = section;
  if (section.sort !== "set-up" || calibrations.length < 2) return title;
  return say("job-section-shared", { title, count: calibrations.length });
}
