/** The jobs that wait for a supervisor. */

import { stepOf } from "../fold.js";
import { doerOf } from "../sofar.js";
import { stateOf } from "../state.js";
import { frame } from "./frame.js";

/** @import { JobState, Say, Sheet, View } from "../types.js" */

const NEVER = { at: "", mono_s: 0, boot: "" };

/**
 * A job that waits for a supervisor; null for one that does not. `doer` is whose work waits.
 * @param {Sheet} sheet @param {JobState} state @param {Record<string, string>} names @param {Say} say
 * @returns {View?}
 */
export function waitingRow(sheet, state, names, say) {
  const step = state.current === null ? null : stepOf(sheet, state.current);
  if (state.phase !== "open" || !step) return null;
  const was = stateOf(state, step.id);
  if (was.status !== "held" && step.kind !== "countersign") return null;
  const at = frame(sheet, state, state.clock ?? NEVER, say);
  const doer = doerOf(sheet, state, step.id);
  const title = at.vehicle || sheet.job.vin || say("today-vehicle-unknown");
  const by = (doer && names[doer]) || say("apart-by-nobody");
  return { url: at.url, order: at.order, title, do: step.do, by, doer };
}

/** @param {View[]} rows @returns {View} */
export function waitingView(rows) {
  return { waiting: { rows, has_rows: rows.length > 0 } };
}
