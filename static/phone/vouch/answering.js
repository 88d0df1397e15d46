/** On a supervisor's own phone: a colleague's code is scanned, what waits is shown, and their answer is a code again. */

import { BaybookError, NotAllowed } from "../../core/errors.js";
import { stepOf } from "../../core/fold.js";
import { words as text } from "../../core/kinds/common.js";
import { mayCountersign, witnessOf } from "../../core/kinds/countersign.js";
import { bringSums } from "../../core/late.js";
import { standing } from "../../core/standing.js";
import { stateOf } from "../../core/state.js";
import { drawingView } from "../../core/view/drawings.js";
import { vouchView } from "../../core/view/vouch.js";
import { answerSaid, CUT, readAsk } from "../../core/vouching.js";
import { statusOf } from "../answer.js";
import { page } from "../begin/page.js";
import { read } from "../database.js";
import { progressOf } from "../journal.js";
import { use } from "../who.js";
import { codeView, digest, withSignature } from "./code.js";

/** @import { View } from "../../core/types.js" */
/** @import { Ask } from "../../core/vouching.js" */
/** @import { Asked } from "../begin/page.js" */

/** @param {Asked} asked */
export function showVouch(asked) {
  return scanPage(asked, null);
}

/** A code that was scanned; or, with a verdict, the answer to it. @param {Asked} asked */
export async function takeVouch(asked) {
  const field = (/** @type {string} */ name) => String(asked.form.get(name) ?? "");
  /** @type {Ask?} */
  let ask = null;
  try {
    ask = readAsk(field("asked"));
    needWitness(asked, ask);
    const verdict = field("verdict");
    if (!verdict) return lookPage(asked, ask, field("asked"));
    const reason =
      verdict === "returned" ? text({ reason: field("reason") }, "reason", "what is to be done again") : "";
    return await answerPage(asked, ask, field("asked"), verdict === "returned" ? "returned" : "accepted", reason);
  } catch (error) {
    if (!(error instanceof BaybookError)) throw error;
    const again = ask && ["text-missing", "text-too-long", "reason-too-long"].includes(error.code);
    return again ? lookPage(asked, ask, field("asked"), error, field("reason")) : scanPage(asked, error);
  }
}

/**
 * Whoever began this phone with badge and PIN, who may countersign, and whose work it is not. Throws NotAllowed.
 * @param {Asked} asked @param {Ask} ask
 */
function needWitness({ shop: { person } }, { doer }) {
  const moment = { clock: { at: "", mono_s: 0, boot: "" }, today: "", kit: {}, person, witness: person, job: [] };
  if (!person) throw nobodyHere();
  return witnessOf(moment, doer);
}

function nobodyHere() {
  const message = "Nobody has begun with this phone; scan your own badge, type your PIN, then scan the code";
  return new NotAllowed("nobody", "badge", message);
}

/** @param {Asked} asked @param {BaybookError?} error */
function scanPage(asked, error) {
  const { person, seat } = asked.shop;
  const wrong = error ?? (person || seat.locked ? null : nobodyHere());
  const view = { scan: { may: mayCountersign(person) }, error: wrong?.message ?? null };
  return page(asked, "vouch-title", { vouching: view }, error ? statusOf(error) : 200);
}

/**
 * @param {Asked} asked @param {Ask} ask @param {string} code @param {BaybookError?} [error] @param {string} [reason]
 */
async function lookPage(asked, ask, code, error = null, reason = "") {
  const { shop, words } = asked;
  /** @type {View} */
  const look = {
    asked: code,
    order: ask.order,
    vehicle: ask.vehicle,
    doer: shop.people[ask.doer]?.name ?? ask.doer,
    reason,
    opened: error !== null,
    ...(await ofStep(ask, words)),
  };
  look.has_facts = look.facts.length > 0;
  const view = { look, error: error?.message ?? null };
  return page(asked, "vouch-title", { vouching: view }, error ? statusOf(error) : 200);
}

/**
 * The step as this phone has it, with what was recorded there, where it knows of just that; else as the code tells it.
 * @param {Ask} ask @param {import("../render.js").Words} words
 * @returns {Promise<View>}
 */
async function ofStep(ask, { say, within, sheet: worded }) {
  const at = await progressOf(ask.job);
  const sheet = at && worded(at.sheet);
  const step = sheet && stepOf(sheet, ask.step);
  const cut = ask.told.includes(CUT);
  const told = { do: within({ do: ask.do }).do, facts: ask.told.filter((one) => one !== CUT), cut, photos: [] };
  if (!at || !step) return { ...told, drawing: null };
  const drawing = drawingView(sheet, step, stateOf(at.state, ask.step), say);
  if ((await digest(standing(at.sheet, at.state, ask.step))) !== ask.stands) return { ...told, do: step.do, drawing };
  if (step.kind === "measure") await bringSums();
  const { facts, photos } = vouchView(sheet, at.state, step, say).vouch;
  return { do: step.do, facts, cut: false, photos, drawing };
}

/**
 * @param {Asked} asked @param {Ask} ask @param {string} code @param {"accepted" | "returned"} verdict @param {string} reason
 */
async function answerPage(asked, ask, code, verdict, reason) {
  await use();
  const [me, who] = await Promise.all([read("device", "me"), read("shelf", "who")]);
  if (!me?.key || !who?.sign_in) throw nobodyHere();
  const about = { ask: await digest(code), by: who.person.code, verdict, reason, at: new Date().toISOString() };
  const said = answerSaid({ ...about, device: me.id, sign_in: who.sign_in.id });
  const doer = asked.shop.people[ask.doer]?.name ?? ask.doer;
  const answer = { ...codeView(await withSignature(me.key, said)), accepted: verdict === "accepted", reason, doer };
  return page(asked, "vouch-title", { vouching: { answer: { ...answer, order: ask.order } } });
}
