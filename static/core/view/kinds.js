/** What a step shows by its kind; what a measure step shows has a file of its own. */

import { leftS } from "../kinds/wait.js";
import { causesView } from "./causes.js";
import { clock } from "./figures.js";
import { scanView } from "./scans.js";

/** @import { ShowsKind } from "../types.js" */

/** @type {ShowsKind} */
function confirm(step, _was, _now, say) {
  return { confirm: { button: step.button || say("button-confirm") } };
}

/** @type {ShowsKind} */
function choose(step, was) {
  const chosen = step.options.find((/** @type {any} */ one) => one.value === was.option);
  return { choose: { options: step.options, blocked: chosen?.blocks ?? null } };
}

/** @type {ShowsKind} */
function photo(step, _was, _now, say) {
  return { photo: { of: step.photo, button: step.button || say("button-photo") } };
}

/** @type {ShowsKind} */
function wait(step, was, now, say) {
  const left = Math.ceil(leftS(step, was, now));
  const running = was.wait_from !== null;
  return {
    wait: {
      running,
      waiting: running && left > 0,
      over: running && left <= 0,
      left_s: left,
      left: clock(left),
      start: say("button-start-wait", { time: clock(step.wait_s) }),
      button: step.button || say("button-waited"),
    },
  };
}

/** @type {ShowsKind} */
function countersign(step, _was, _now, say) {
  return { countersign: { button: step.button || say("button-countersign") } };
}

/** @type {ShowsKind} */
function result(step, was, _now, say) {
  const failed = was.outcome?.outcome === "failed" ? was.outcome : null;
  return {
    result: {
      button: step.button || say("button-result-done"),
      failed,
      failures: failed ? say("result-failures", { count: was.failures }) : null,
      causes: failed ? causesView(step.causes, say) : [],
    },
  };
}

/** @type {Map<string, ShowsKind>} */
export const KIND_VIEWS = new Map([
  ["confirm", confirm],
  ["choose", choose],
  ["scan", scanView],
  ["photo", photo],
  ["wait", wait],
  ["countersign", countersign],
  ["result", result],
]);
