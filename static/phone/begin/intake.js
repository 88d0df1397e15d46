/** A new job on this phone: the VIN, what the vehicle is and why it is here; or dropped again. */

import { BadInput, BaybookError } from "../../core/errors.js";
import { known, newFacts, take, typed } from "../../core/intake.js";
import { words as reasonIn } from "../../core/kinds/common.js";
import { cut } from "../../core/text.js";
import { intakeView, newView } from "../../core/view/intake.js";
import { dropView } from "../../core/view/shop.js";
import { readVin } from "../../core/vin.js";
import { statusOf } from "../answer.js";
import { newId } from "../clock.js";
import { changeDraft, draftOf, keepDraft } from "../drafts.js";
import { fieldsOf, vinIn } from "../given.js";
import { elsewhere, othersOn } from "./jobs.js";
import { goOn, page } from "./page.js";

/** @import { Facts } from "../../core/intake.js" */
/** @import { Asked } from "./page.js" */

const LONGEST_SHOWN = 200;

/** @param {Asked} asked */
export function showNew(asked) {
  return page(asked, "new-title", newView(asked.words.say));
}

/**
 * A VIN by wedge, photo or keys makes a job; what cannot be read is shown again with the reason.
 * @param {Asked} asked
 */
export async function takeVin(asked) {
  const { words, form, shop } = asked;
  const { given, file } = fieldsOf(form);
  try {
    const { text, sure } = file ? await vinIn(file) : { text: given.vin ?? "", sure: true };
    const vin = readVin(text, "vin");
    if (!(sure && vin.valid) && given.confirmed !== vin.text) {
      return page(asked, "new-title", newView(words.say, null, "", vin));
    }
    const facts = newFacts(shop.library, newId(), vin.text);
    const made = { created_at: new Date().toISOString(), made_by: shop.person?.code ?? null };
    await keepDraft({ ...facts, ...made, phase: "planning" });
    const cleaned = vin.cleaned.map((one) => `cleaned=${one}`).join("&");
    return goOn(`/jobs/${facts.id}/intake${cleaned && `?${cleaned}`}`);
  } catch (error) {
    if (!(error instanceof BaybookError)) throw error;
    const view = newView(words.say, error.message, cut(given.vin ?? "", LONGEST_SHOWN));
    return page(asked, "new-title", view, statusOf(error));
  }
}

/** @param {Asked} asked */
export async function showIntake(asked) {
  const facts = await draftOf(asked.job);
  if (facts?.phase !== "planning") return elsewhere(asked.job, facts);
  return intakePage(asked, facts, known(facts));
}

/** @param {Asked} asked */
export async function takeIntake(asked) {
  const { job, form, shop } = asked;
  const sent = { ...fieldsOf(form).given, reasons: form.getAll("reasons") };
  try {
    const after = await changeDraft(job, (facts) => take(shop.library, facts, sent, shop.kit));
    if (!after) return elsewhere(job, await draftOf(job));
    return goOn(`/jobs/${job}/${form.get("go") === "plan" ? "plan" : "intake"}`);
  } catch (error) {
    const facts = error instanceof BadInput ? await draftOf(job) : null;
    if (!facts) throw error;
    return intakePage(asked, facts, typed(sent), /** @type {BadInput} */ (error));
  }
}

/** @param {Asked} asked @param {Facts} facts @param {Record<string, any>} values @param {BaybookError?} [error] */
async function intakePage(asked, facts, values, error = null) {
  const { url, shop, words } = asked;
  const others = await othersOn(shop, facts.vin, facts.id);
  const cleaned = url.searchParams.getAll("cleaned");
  const view = intakeView(words.within(shop.library), facts, values, shop.kit, words.say, others, cleaned, error);
  return page(asked, "intake-title", view, error ? statusOf(error) : 200);
}

/** @param {Asked} asked */
export async function showDrop(asked) {
  const facts = await draftOf(asked.job);
  return facts ? page(asked, "drop-title", dropView(facts, asked.words.say)) : elsewhere(asked.job, facts);
}

/**
 * Nothing has happened on such a job, so it has no journal: the reason stays with its plan, on this phone.
 * @param {Asked} asked
 */
export async function drop(asked) {
  const { job, form, words } = asked;
  const { given } = fieldsOf(form);
  try {
    const dropped = await changeDraft(job, (facts) => {
      const why = reasonIn(given, "reason", "why this job is dropped");
      const finished_at = new Date().toISOString();
      return { ...facts, phase: "abandoned", finished_at, plan: { ...facts.plan, dropped: why } };
    });
    return dropped ? goOn("/") : elsewhere(job, await draftOf(job));
  } catch (error) {
    const facts = error instanceof BaybookError ? await draftOf(job) : null;
    if (!facts) throw error;
    const refused = /** @type {BaybookError} */ (error);
    return page(asked, "drop-title", dropView(facts, words.say, refused, given.reason ?? ""), statusOf(refused));
  }
}
