// The pages of a job in another language than the library's: what stands in the sheet is worded where it is shown.
import { readFileSync } from "node:fs";
import { fold } from "../../static/core/fold.js";
import * as view from "../../static/core/view/index.js";
import { Wording } from "../../static/core/wording.js";
import { wordsOf } from "../../static/phone/render.js";
import { readsOf } from "../../static/phone/tongue.js";
import { FluentResource } from "../../static/vendor/fluent/index.js";
import { languages, templates } from "./words.mjs";

const messages = new FluentResource(readFileSync(new URL("../../static/messages/es.ftl", import.meta.url), "utf-8")).body;

const wordsIn = ({ texts, forms, point, drawn }) =>
  wordsOf({ templates, languages, policy: "" }, { lang: "es", messages, forms }, readsOf(new Wording(texts, forms, point), drawn));

/** A job's pages after each of these numbers of its events, as HTML. */
export function spokenPages({ wording, sheet: held, events, after, now }) {
  const { say, render, sheet: worded } = wordsIn(wording);
  const sheet = worded(held);
  return after.flatMap((number) => {
    const state = fold(held, events.slice(0, number));
    const of = (name, ...more) => view[name](sheet, state, ...more, now, say);
    const pages = [of("jobPage"), of("stepsPage"), of("troublePage"), of("morePage")];
    return pages.map((page) => render("page", page));
  });
}

/** Texts, refusals and sayings as they read. */
export function spoken({ wording, texts, refusals, sayings }) {
  const { say, sentence } = wordsIn(wording);
  const plain = new Wording(wording.texts, wording.forms, wording.point);
  return {
    texts: texts.map((one) => plain.of(one)),
    refusals: refusals.map(sentence),
    sayings: sayings.map(([name, given]) => say(name, given)),
  };
}
