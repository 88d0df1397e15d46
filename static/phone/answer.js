/** The job routes, answered by the phone from its own disk: the same pages as webapp/web/jobs/checklist.py gives. Its taps are in taps.js. */

import { BadInput, NotAllowed, NotFound, shown, Unavailable } from "../core/errors.js";
import { bringSums, measures } from "../core/late.js";
import { jobPage, typed } from "../core/view/index.js";
import { lockView } from "../core/view/lock.js";
import { forReader } from "../core/view/short.js";
import { forWitness } from "../core/view/witness.js";
import { unheard, unproven } from "../core/vouched.js";
import { today } from "./clock.js";
import { read } from "./database.js";
import { progressOf } from "./journal.js";
import { told } from "./truth.js";

/** @import { BaybookError } from "../core/errors.js" */
/** @import { Given, View } from "../core/types.js" */
/** @import { Shop } from "../core/view/index.js" */
/** @import { Progress } from "./journal.js" */
/** @import { Words } from "./render.js" */

const ROUTE = /^\/jobs\/([0-9a-f-]{36})(?:\/(steps|pause|trouble|more|vouch))?(?:(?<=\/steps)\/(.+))?$/;

/** @typedef {{job: string, panel?: string, name?: string, again: boolean}} Route */

/**
 * What a path asks for; null where it is not one of the job's own pages.
 * @param {URL} url
 * @returns {Route?}
 */
export function routeOf(url) {
  const [, job, panel, name] = ROUTE.exec(url.pathname) ?? [];
  if (!job) return null;
  return { job, panel, name: name && decodeURIComponent(name), again: url.searchParams.has("again") };
}

/**
 * A page of a job that the phone holds; null where it does not.
 * @param {Request} request @param {Route} route @param {Words} words
 */
export async function show(request, route, words) {
  const at = await progressOf(route.job);
  if (!at) return null;
  if (at.seat.locked) return Response.redirect(unlocking(new URL(request.url)), 303);
  const page = await panelOf(at, route, words);
  const part = isFragment(request);
  if (page) return answer(part, page, at, words);
  if (route.panel === "vouch") return Response.redirect(`/jobs/${route.job}`, 303);
  const message = `step=${shown(route.name)} is not on this job's sheet, or does not stand with the answers given`;
  return refused(part, at, {}, new NotFound("step-unknown", "step", message), words);
}

/** Where a locked phone is unlocked, to go on from there. @param {URL} url */
export function unlocking({ pathname, search }) {
  return `/badge?to=${encodeURIComponent(pathname + search)}`;
}

/**
 * The sums and the shop's kit, where the step at hand asks for readings.
 * @param {Progress} at
 * @returns {Promise<Shop | undefined>}
 */
export async function shopFor({ sheet, state }) {
  if (!measures(sheet, state)) return undefined;
  const [shelf] = await Promise.all([read("shelf", "shelf"), bringSums()]);
  return [shelf?.kit ?? {}, today()];
}

/**
 * @param {Progress} at @param {Route} route @param {Words} words
 * @returns {Promise<View?>}
 */
async function panelOf(at, { panel, name, again }, { say, sheet: worded }) {
  const { state, clock } = at;
  const sheet = worded(at.sheet);
  if (panel === "vouch") {
    await shopFor(at);
    return (await vouching()).askPage(at, { say, sheet: worded });
  }
  if (!panel) return jobPage(sheet, state, clock, say, again, await shopFor(at));
  const { morePage, pausePage, stepPage, stepsPage, troublePage } = await import("../core/view/panels.js");
  if (name && panel === "steps") return stepPage(sheet, state, name, clock, say);
  const pages = { steps: stepsPage, pause: pausePage, trouble: troublePage, more: morePage };
  return pages[/** @type {keyof typeof pages} */ (panel)](sheet, state, clock, say);
}

export const vouching = () => import("./vouch/asking.js");

/** Which page a refused form stands on, where that is not the step at hand. @type {Record<string, string>} */
const ASKED_ON = {
  undo: "steps",
  pause: "pause",
  trouble: "trouble",
  note: "more",
  "leave-undone": "more",
  abandon: "more",
  vouch: "vouch",
};

/**
 * The same page again, with what was typed and what is wrong with it. Nothing is lost.
 * @param {boolean} part @param {Progress} at @param {Given} given @param {BaybookError} error @param {Words} words
 */
export async function refused(part, at, given, error, words) {
  const panel = Object.hasOwn(ASKED_ON, given.do) ? ASKED_ON[given.do] : undefined;
  const asked = { job: "", panel, name: panel === "steps" ? given.step : undefined, again: given.do === "measure" };
  const page = (await panelOf(at, asked, words)) ?? (await panelOf(at, { ...asked, panel: undefined }, words));
  for (const field of page?.step?.measure?.fields ?? []) {
    Object.assign(field, { value: given[field.name] ?? "", wrong: field.name === error.field });
  }
  const locked = error.code === "phone-locked" ? { locked: true } : {};
  const told = { ...page, ...typed(given, error.field), error: words.sentence(error.message), ...locked };
  return answer(part, told, at, words, statusOf(error));
}

/** @param {BaybookError} error */
export function statusOf(error) {
  if (error instanceof BadInput) return 400;
  if (error instanceof NotAllowed) return 403;
  if (error instanceof Unavailable) return 503;
  return error instanceof NotFound ? 404 : 409;
}

/** Whether htmx asks, and then for a part of a page. @param {Request} request */
export function isFragment(request) {
  return request.headers.has("HX-Request");
}

/**
 * @param {boolean} part @param {View} page @param {Progress} at @param {Words} words @param {number} [status]
 */
export async function answer(part, page, at, words, status = 200) {
  const { render, say, policy } = words;
  const count = at.truth.provisional ?? 0;
  const waiting = [
    ...(count ? [say("job-provisional", { count })] : []),
    ...(at.seat.unchecked ? [say("nav-unchecked", { name: at.person?.name ?? "" })] : []),
  ];
  const provisional = waiting.join(" · ");
  const about = { truth: told(at.truth, say), provisional, ...(at.apart.length ? await apartOf(at, words) : {}) };
  if (!part) Object.assign(about, lockView(at.person?.name ?? null, at.seat.after_s, say));
  const read = forWitness(forReader(page, words.sheet(at.sheet), at.person), at.person);
  if (read.finish) Object.assign(read.finish, waitsOf(at, count, say));
  const html = render(part ? "job" : "page", { ...read, ...about });
  return new Response(html, { status, headers: headers(policy) });
}

/**
 * Why the job cannot end yet: a countersign that the shop has not checked, or found not to be right.
 * @param {Progress} at @param {number} count @param {import("../core/types.js").Say} say
 */
function waitsOf({ state, apart }, count, say) {
  const wrong = unproven(state, apart).length;
  if (unheard(state, apart)) return { waits: say("finish-waits-phone") };
  if (wrong) return { waits: say("finish-waits-wrong", { count: wrong }) };
  return count ? { waits: say("finish-waits-shop", { count }) } : {};
}

/**
 * What is to be looked at on this job: nothing on nearly every one, so its words are a part of their own.
 * @param {Progress} at @param {Words} words
 */
async function apartOf({ sheet, apart, names }, words) {
  const { apartView } = await import("../core/view/apart.js");
  return apartView(words.sheet(sheet), apart, names, words.say);
}

/** @param {string} policy */
export function headers(policy) {
  return {
    "Content-Type": "text/html; charset=utf-8",
    "Content-Security-Policy": policy,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cache-Control": "no-store",
  };
}
