/** The taps on a job that the phone holds: kept on its own disk, and answered with the next page. */

import { BaybookError } from "../core/errors.js";
import { bringSums } from "../core/late.js";
import { jobPage } from "../core/view/index.js";
import { answer, refused, shopFor, vouching } from "./answer.js";
import { isId, newId } from "./clock.js";
import { needOurs } from "./forms.js";
import { fieldsOf, photoOf, readLabelIn, witnessOf } from "./given.js";
import { progressOf } from "./journal.js";
import { tap } from "./tap.js";

/** @import { Given } from "../core/types.js" */
/** @import { Route } from "./answer.js" */
/** @import { Words } from "./render.js" */

/**
 * Every tap; null where the phone does not hold the job, and then nothing was kept. With htmx the answer is a `part`, the
 * next page's content; a plain form is sent on to it. `name` is the one that its page gave the tap, if any did.
 * @param {string?} name @param {boolean} part @param {FormData} form @param {Route} route @param {Words} words
 */
export async function take(name, part, form, { job }, words) {
  const { given, file } = fieldsOf(form);
  try {
    await needOurs(form);
    if (given.do === "texts") return await chooseTexts(part, job, given, words);
    if (given.do === "measure") await bringSums();
    await readLabelIn(given, file);
    const id = name && isId(name) ? name : newId();
    const along = async () => ({ id, photo: await photoOf(given, file), ...(await witnessOf(given, id)) });
    const [said, more] = given.do === "vouch" ? await (await vouching()).answered(job, given) : [given, await along()];
    const after = await tap(job, said, more, (one) => next(part, job, one, words));
    return after && (await after.drawn);
  } catch (error) {
    const at = error instanceof BaybookError ? await progressOf(job) : null;
    if (!at) throw error;
    return refused(part, at, given, /** @type {BaybookError} */ (error), words);
  }
}

/**
 * @param {boolean} part @param {string} job @param {import("./tap.js").After} after @param {Words} words
 */
async function next(part, job, after, words) {
  if (!after.stale && !part) return Response.redirect(`/jobs/${job}`, 303);
  const shop = await shopFor(after);
  const page = jobPage(words.sheet(after.sheet), after.state, after.clock, words.say, false, shop);
  const notice = after.stale ? words.say("job-stale") : null;
  return answer(part, { ...page, notice }, after, words, after.stale ? 409 : 200);
}

/**
 * The short or the full text from now on: a choice of whoever reads, not an event of the job.
 * @param {boolean} part @param {string} job @param {Given} given @param {Words} words
 */
async function chooseTexts(part, job, given, words) {
  const { choose } = await import("./texts.js");
  const at = await choose(job, given);
  if (!at) return null;
  if (!part) return Response.redirect(`/jobs/${job}`, 303);
  const page = jobPage(words.sheet(at.sheet), at.state, at.clock, words.say, "again" in given, await shopFor(at));
  return answer(part, page, at, words);
}
