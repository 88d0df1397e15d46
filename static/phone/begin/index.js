/** The pages before a job, answered by the phone from its shelf: a part of its own, which a job's steps never need. */

import { refusedView } from "../../core/view/shop.js";
import { takeLanguage } from "../chosen.js";
import { draftOf } from "../drafts.js";
import { isOurs } from "../forms.js";
import { stocked } from "../shelf.js";
import { seat } from "../who.js";
import { showBadge, takeBadge } from "./badge.js";
import { drop, showDrop, showIntake, showNew, takeIntake, takeVin } from "./intake.js";
import { again, goOn, page, toUnlock } from "./page.js";
import { changePlan, showPlan, start } from "./plan.js";
import { beginCheck, showToday, showWaiting } from "./today.js";

/** @import { Early } from "../early.js" */
/** @import { Words } from "../render.js" */
/** @import { Asked } from "./page.js" */

/** @typedef {(asked: Asked) => Response | null | Promise<Response?>} Answers */

/** @type {Record<string, Partial<Record<string, Answers>>>} */
const ROUTES = {
  today: { GET: showToday },
  waiting: { GET: showWaiting },
  badge: { GET: showBadge, POST: takeBadge },
  new: { GET: showNew, POST: takeVin },
  intake: { GET: showIntake, POST: takeIntake },
  plan: { GET: showPlan, POST: changePlan },
  start: { POST: start },
  drop: { GET: showDrop, POST: drop },
  check: { POST: beginCheck },
  vouch: {
    GET: async (asked) => (await vouching()).showVouch(asked),
    POST: async (asked) => (await vouching()).takeVouch(asked),
  },
};

const vouching = () => import("../vouch/answering.js");

/** Another language can be chosen before there is a shelf. @param {Asked} asked */
const chosen = ({ form }) => takeLanguage(form);

const nobody = async () => ({ person: null, seat: await seat() });

/**
 * The answer to such a request; null where the phone holds no shelf, or not that job, and the shop has to be asked.
 * @param {Request} request @param {Early} route @param {Words} words
 */
export async function answerEarly(request, { what, job }, words) {
  const isPost = request.method === "POST";
  const answers = what === "language" && isPost ? chosen : ROUTES[what]?.[request.method];
  const shop = answers ? await stocked() : null;
  if (!answers || !(shop || answers === chosen)) return null;
  const url = new URL(request.url);
  if (shop?.seat.locked && what !== "badge" && what !== "language") return toUnlock(url);
  const form = isPost ? await request.formData() : new FormData();
  const json = request.headers.get("Accept") === "application/json";
  const asked = /** @type {Asked} */ ({ url, job, form, json, shop: shop ?? (await nobody()), words });
  return isPost && !(await isOurs(form)) ? again(asked) : answers(asked);
}

/**
 * A job that is being planned here has no page of its own yet.
 * @param {string} job
 */
export async function toPlan(job) {
  const facts = await draftOf(job);
  return facts ? goOn(`/jobs/${job}/${facts.phase === "planning" ? "plan" : "drop"}`) : null;
}

/**
 * What is shown where only the shop has the page, and cannot be reached.
 * @param {Request} request @param {Words} words
 */
export async function withoutShop(request, words) {
  const shop = (await stocked()) ?? (await nobody());
  const said = words.say(request.method === "GET" ? "phone-no-shop" : "phone-no-shop-kept");
  const asked = /** @type {Asked} */ ({ url: new URL(request.url), shop, words });
  return page(asked, "phone-away", refusedView(words.say("phone-away"), said), 503);
}
