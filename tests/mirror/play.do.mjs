// A job played through by the phone's rules, tap by tap, and what its pages show on the way.
import { act, isRepeat } from "../../static/core/act.js";
import { apply, fold } from "../../static/core/fold.js";
import { BaybookError, Stale } from "../../static/core/errors.js";
import { standing } from "../../static/core/standing.js";
import * as view from "../../static/core/view/index.js";
import { chosen, procedureOf } from "../../static/core/short.js";
import { forReader } from "../../static/core/view/short.js";
import { render, say } from "./words.mjs";

/**
 * Each tap is {given, moment, about, look}: the form, its moment, and what the journal adds to a draft; or {kept, about,
 * look}, a draft that needed no decision. Out: for each tap the draft or the refusal, and its pages where `look` is a time; at last the state.
 */
export function play({ sheet, taps, shop }) {
  let state = fold(sheet, []);
  const told = taps.map(({ given, moment, about, look, kept }) => {
    const tap = given ? tapped(sheet, state, given, moment) : { draft: kept };
    if (tap.draft) {
      state = apply(sheet, state, { ...about, ...tap.draft });
    }
    if (!look) return tap;
    const stands = sheet.steps.map((step) => standing(sheet, state, step.id));
    return { ...tap, stands, pages: pages(sheet, state, look, given ?? {}, shop) };
  });
  return { told, state };
}

function tapped(sheet, state, given, moment) {
  try {
    return { draft: act(sheet, state, given, moment) };
  } catch (error) {
    if (!(error instanceof BaybookError)) throw error;
    return error instanceof Stale ? { ...error.asDict(), repeat: isRepeat(sheet, state, given) } : error.asDict();
  }
}

export function folded({ sheet, events }) {
  return fold(sheet, events);
}

/** Every page of a job in this state, by name. */
function pages(sheet, state, now, given, shop) {
  const of = (name, ...more) => view[name](sheet, state, ...more, now, say);
  return {
    job: view.jobPage(sheet, state, now, say, false, shop),
    again: view.jobPage(sheet, state, now, say, true, shop),
    refused: { ...view.jobPage(sheet, state, now, say, false, shop), ...view.typed(given, "reason"), error: "Not so." },
    steps: of("stepsPage"),
    pause: of("pausePage"),
    trouble: of("troublePage"),
    more: of("morePage"),
    seen: sheet.steps.map((step) => of("stepPage", step.id)),
  };
}

/** A page that was made, for each of these readers. */
export const forReaders = ({ page, sheet, readers }) => readers.map((one) => forReader(page, sheet, one));

/** What a choice of texts at this step leaves a person with. */
export const choices = ({ sheet, person, step, texts }) => chosen(person, procedureOf(sheet, step), texts);

/** Pages as HTML. */
export function html({ pages }) {
  return pages.map((page) => render("page", page));
}

/** What the messages say to each [name, variables]. */
export function sayings({ asked }) {
  return asked.map(([name, variables]) => say(name, variables));
}
