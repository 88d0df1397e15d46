/** The plan of a job on this phone: shown, changed with a reason, and started. */

import { BadInput, BaybookError, Conflict } from "../../core/errors.js";
import { requireComplete } from "../../core/intake.js";
import { changed, planned } from "../../core/plan.js";
import { planView } from "../../core/view/plan.js";
import { statusOf } from "../answer.js";
import { today } from "../clock.js";
import { changeDraft, draftOf } from "../drafts.js";
import { fieldsOf } from "../given.js";
import { elsewhere } from "./jobs.js";
import { goOn, page } from "./page.js";
import { startJob } from "./start.js";

/** @import { Facts } from "../../core/intake.js" */
/** @import { Vehicle } from "../../core/types.js" */
/** @import { Asked } from "./page.js" */

/** @param {Asked} asked */
export async function showPlan(asked) {
  const facts = await draftOf(asked.job);
  return notYet(asked, facts) ?? planPage(asked, /** @type {Facts} */ (facts));
}

/**
 * Where to go with a job that is not, or not yet, to be planned.
 * @param {Asked} asked @param {Facts?} facts
 */
function notYet({ job, shop }, facts) {
  if (facts?.phase !== "planning") return elsewhere(job, facts);
  try {
    requireComplete(shop.library, facts);
    return null;
  } catch (error) {
    if (!(error instanceof BadInput)) throw error;
    return goOn(`/jobs/${job}/intake`);
  }
}

/**
 * Add, strike or restore a calibration; adding and striking need a reason, which is kept with the job.
 * @param {Asked} asked
 */
export function changePlan(asked) {
  const { given } = fieldsOf(asked.form);
  return orRefused(asked, async (facts) => {
    const vehicle = /** @type {Vehicle} */ (asked.shop.library.vehicles.get(facts.vehicle));
    await changeDraft(asked.job, (now) => ({ ...now, plan: changed(vehicle, now.plan, given) }));
    return goOn(`/jobs/${asked.job}/plan`);
  });
}

/** @param {Asked} asked */
export function start(asked) {
  return orRefused(asked, async (facts) => {
    const { library } = asked.shop;
    const plan = planned(library, facts);
    if (!plan.length)
      throw new Conflict("nothing-planned", "plan", "plan is empty; add a calibration, or drop the job");
    await startJob(asked.shop, facts, library.vehicles.get(facts.vehicle) ?? null, plan);
    return goOn(`/jobs/${asked.job}`);
  });
}

/**
 * Do something with a job that can be planned; or the plan again, with what is wrong and what was typed.
 * @param {Asked} asked @param {(facts: Facts) => Promise<Response>} work
 */
async function orRefused(asked, work) {
  const facts = await draftOf(asked.job);
  const away = notYet(asked, facts);
  if (away) return away;
  try {
    return await work(/** @type {Facts} */ (facts));
  } catch (error) {
    if (!(error instanceof BaybookError)) throw error;
    return planPage(asked, /** @type {Facts} */ (facts), error);
  }
}

/** @param {Asked} asked @param {Facts} facts @param {BaybookError?} [error] */
function planPage(asked, facts, error = null) {
  const { times, kit } = asked.shop;
  const library = asked.words.within(asked.shop.library);
  const given = error ? fieldsOf(asked.form).given : {};
  const view = planView(library, facts, times, kit, today(), asked.words.say, error?.message ?? null, given);
  return page(asked, "plan-title", view, error ? statusOf(error) : 200);
}
