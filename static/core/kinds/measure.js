/**
 * measure: readings in, a verdict out.
 *
 * Outside means: put it right and measure again. Too close to call means: repeat, or a supervisor decides.
 */

import { NotAllowed } from "../errors.js";
import { sums } from "../late.js";
import { ASKS_REPEAT, RULE, SETTLES_STEP } from "../measure/verdicts.js";
import { ended, heldAfter, words } from "./common.js";
import { witnessOf } from "./countersign.js";

/** @import { Records, Settles } from "../types.js" */

/**
 * With `more` the readings are kept for the mean, and another reading of the same thing is asked for. Throws BadInput
 * where a reading is missing, in another unit or beyond what is physical, or an instrument is unfit.
 * @type {Records}
 */
export function record(step, was, given, moment) {
  const { equipped, judge, readAll, REPEATABLE, taken } = sums();
  const readings = readAll(step.measure, given);
  const instruments = taken(step.measure, moment.kit, moment.today, given);
  const result = judge(equipped(step.measure, instruments), [...was.sets, readings]);
  if (given.more && REPEATABLE.includes(step.measure.method)) result.verdict = "read-again";
  /** @type {Record<string, any>} */
  const data = { readings, result, verdict: result.verdict, rule: RULE };
  if (Object.keys(instruments).length) data.instruments = instruments;
  if (!SETTLES_STEP.includes(result.verdict)) return ["measured", data];
  return ["measured", { ...data, held: heldAfter(step, moment) }];
}

/** @type {Settles} */
export function settle(_step, was, event) {
  const { readings, verdict, result, instruments = {} } = event.data;
  // Only readings of the same thing in the same place are repeats: what was outside will be moved first.
  const sets = ASKS_REPEAT.includes(verdict) ? [...was.sets, readings] : [];
  const changes = { sets, measured: { readings, instruments, ...result } };
  return SETTLES_STEP.includes(verdict) ? ended(was, event, changes) : { ...was, ...changes };
}

/**
 * A supervisor lets a reading stand that is too close to call; never one that is outside.
 * Throws NotAllowed: `not-too-close`, or the witness is none.
 * @type {Records}
 */
export function recordOverruled(_step, was, given, moment) {
  if (was.measured?.verdict !== "too-close-to-call") {
    const message = "do=overrule: only a reading that is too close to call can be let stand; measure again";
    throw new NotAllowed("not-too-close", "do", message);
  }
  const reason = words(given, "reason", "why this reading may stand");
  return ["overruled", { reason, by: witnessOf(moment, moment.person?.code ?? null).code }];
}

/** @type {Settles} */
export function settleOverruled(_step, was, event) {
  const { by, reason } = event.data;
  return ended(was, event, { overruled_by: by, countersigned_by: by, reason });
}
