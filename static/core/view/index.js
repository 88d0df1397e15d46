/**
 * state -> the JSON that a page's template needs. No HTML here, and no words: `say` brings those in.
 *
 * `jobPage` is the page of the step at hand; the other functions are its neighbours (the list of steps, one step seen
 * again, a pause, trouble, more).
 */

import { intervalS } from "../clock.js";
import { stepOf } from "../fold.js";
import { sums } from "../late.js";
import { inJob, leftOpen } from "../sofar.js";
import { stateOf } from "../state.js";
import { frame } from "./frame.js";
import { KIND_VIEWS } from "./kinds.js";
import { stepView } from "./steps.js";
import { vouchView } from "./vouch.js";

export { morePage, pausePage, stepPage, stepsPage, troublePage } from "./panels.js";
export { typed } from "./typed.js";

/** @import { Clock, JobState, Say, Sheet, ShowsKind, Step, View } from "../types.js" */
/** @import { Kit } from "../kit.js" */
/** @typedef {[Kit, string]} Shop the shop's kit and the day */

/**
 * The step at hand, the pause that is running, or what is left before the job can be finished.
 *
 * `again` asks for the empty fields of a measurement whose verdict is on the page; `shop` is needed where the step asks for
 * readings (see late.js).
 * @param {Sheet} sheet @param {JobState} state @param {Clock} now @param {Say} say @param {boolean} [again]
 * @param {Shop} [shop]
 * @returns {View}
 */
export function jobPage(sheet, state, now, say, again = false, shop = [{}, ""]) {
  return { ...frame(sheet, state, now, say), ...body(sheet, state, now, say, again, shop) };
}

/**
 * @param {Sheet} sheet @param {JobState} state @param {Clock} now @param {Say} say @param {boolean} again
 * @param {Shop} shop
 * @returns {View}
 */
function body(sheet, state, now, say, again, shop) {
  if (state.phase !== "open") {
    return { ended: { text: say(`job-is-${state.phase}`), reason: state.end_reason } };
  }
  if (state.paused) {
    const since = state.clock ? intervalS(state.clock, now)[0] : 0;
    return { paused: { reason: say(`pause-${state.paused}`), since_s: Math.trunc(since) } };
  }
  if (state.current === null) return { finish: finish(sheet, state, say) };
  const step = /** @type {Step} */ (stepOf(sheet, state.current));
  const was = stateOf(state, state.current);
  const shown = stepView(sheet, state, step, now, say);
  if (was.status === "held") {
    return { step: { ...shown, held: { by: was.done_by }, ...vouchView(sheet, state, step, say) } };
  }
  if (step.kind === "measure") {
    const asked = inJob(sheet, state, step);
    return { step: { ...shown, ...sums().measureView(asked, was, now, say, again, shop) } };
  }
  const ofKind = /** @type {ShowsKind} */ (KIND_VIEWS.get(step.kind));
  const vouched = step.kind === "countersign" ? vouchView(sheet, state, step, say) : {};
  return { step: { ...shown, ...vouched, ...ofKind(step, was, now, say, again) } };
}

/** @param {Sheet} sheet @param {JobState} state @param {Say} say @returns {View} */
function finish(sheet, state, say) {
  const open = leftOpen(sheet, state).map((one) => ({ ...one, what: say(`open-${one.what}`) }));
  return { open, has_open: open.length > 0, clear: !open.length };
}
