/**
 * The kinds of step: for each, what a tap records (`record`) and what the event then means (`settle`).
 *
 * `record(step, was, given, moment)` returns [event kind, data]; it decides and may refuse. `settle(step, was, event)`
 * only tells. A decision is made once, when it is recorded, and stands in the event.
 */

import * as choose from "./choose.js";
import * as confirm from "./confirm.js";
import * as countersign from "./countersign.js";
import * as measure from "./measure.js";
import * as photo from "./photo.js";
import * as result from "./result.js";
import * as scan from "./scan.js";
import * as wait from "./wait.js";

/** @import { Records, Settles } from "../types.js" */

/**
 * What a page may ask for -> who records it. The names are the events' in the imperative.
 * @type {Map<string, Records>}
 */
export const RECORDS = new Map([
  ["confirm", confirm.record],
  ["choose", choose.record],
  ["scan", scan.record],
  ["measure", measure.record],
  ["overrule", measure.recordOverruled],
  ["photo", photo.record],
  ["start-wait", wait.recordStart],
  ["wait", wait.record],
  ["countersign", countersign.record],
  ["return", countersign.recordReturned],
  ["result", result.record],
  ["leave-undone", confirm.recordLeftUndone],
]);

/**
 * What a step's kind may be asked to do; countersign, return and leave-undone are open to every kind.
 * @type {Record<string, string[]>}
 */
export const OF_KIND = {
  confirm: ["confirm"],
  choose: ["choose"],
  scan: ["scan"],
  measure: ["measure", "overrule"],
  photo: ["photo"],
  wait: ["start-wait", "wait"],
  countersign: ["countersign"],
  result: ["result"],
};

/** @type {Map<string, Settles>} */
export const SETTLES = new Map([
  ["confirmed", confirm.settle],
  ["chosen", choose.settle],
  ["scanned", scan.settle],
  ["measured", measure.settle],
  ["overruled", measure.settleOverruled],
  ["photographed", photo.settle],
  ["wait-started", wait.settleStart],
  ["waited", wait.settle],
  ["countersigned", countersign.settle],
  ["resulted", result.settle],
  ["left-undone", confirm.settleLeftUndone],
]);
