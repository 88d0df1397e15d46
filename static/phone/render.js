/** The job pages in HTML: the same templates and words as the server's, byte for byte, from the app kept on the phone. */

import { FluentBundle } from "../vendor/fluent/index.js";
import Mustache from "../vendor/mustache.mjs";
import { ENGLISH, languageHere } from "./language.js";
import { bringToken, tokenNow } from "./token.js";

/** @import { Sheet } from "../core/types.js" */
/** @import { FluentResource } from "../vendor/fluent/index.js" */

/**
 * @typedef {{templates: Record<string, string>, languages: Record<string, string>, policy: string}} App
 * @typedef {{lang: string, messages: FluentResource["body"], forms: [string, string][]}} Said what one language says
 * @typedef {(name: string, data: Record<string, any>) => string} Render
 * @typedef {{args: (args: Record<string, any>) => Record<string, any>, sentence: (text: string) => string,
 *   within: <T>(value: T) => T, sheet: (sheet: Sheet) => Sheet}} Reads how the English of library and refusals reads
 * @typedef {{say: import("../core/types.js").Say, render: Render, policy: string} & Reads} Words
 */

/** @type {Record<string, string>} */
const SIGNS = { "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;" };

/** @type {Promise<Words>?} */
let kept = null;

/**
 * Templates of this version of the app, and the words of the language that is read here: once in a worker's life, or until
 * another language is chosen.
 * @param {(path: string) => Promise<Response>} find
 * @returns {Promise<Words>}
 */
export function words(find) {
  kept ??= load(find).catch((error) => {
    kept = null;
    throw error;
  });
  return kept;
}

/** The next page is read in the language that was chosen by then. */
export function forgetWords() {
  kept = null;
}

/** @param {(path: string) => Promise<Response>} find */
async function load(find) {
  const json = async (/** @type {string} */ path) => (await find(path)).json();
  const [app, lang] = await Promise.all([json("/app.json"), languageHere(), bringToken()]);
  const said = await json(`/words/${lang}.json`);
  return wordsOf(app, said, lang === ENGLISH ? PLAIN : await (await import("./tongue.js")).reads(said));
}

/** @template T @param {T} value */
const same = (value) => value;

/** In English all reads as it stands. @type {Reads} */
export const PLAIN = { args: same, sentence: same, within: same, sheet: same };

/**
 * @param {App} app @param {Said} said @param {Reads} [reads]
 * @returns {Words}
 */
export function wordsOf({ templates, languages, policy }, { lang, messages }, reads = PLAIN) {
  const bundle = new FluentBundle(lang, { useIsolating: false });
  bundle.addResource(/** @type {FluentResource} */ ({ body: messages })); // parsed when the app was made
  const t = plainWords(bundle);
  const choices = Object.entries(languages).map(([code, name]) => ({ code, name, here: code === lang }));
  const written = (/** @type {unknown} */ value) => String(value).replace(/[&<>"]/g, (sign) => SIGNS[sign]);
  return {
    policy,
    ...reads,
    say: (name, args = {}) => worded(bundle, name.replaceAll("_", "-"), reads.args(args)),
    render: (name, data) =>
      Mustache.render(templates[name], { t, lang, languages: choices, token: tokenNow(), ...data }, templates, {
        escape: written,
      }),
  };
}

/** @param {FluentBundle} bundle @param {string} name @param {Record<string, any>} args */
function worded(bundle, name, args) {
  const message = bundle.getMessage(name);
  if (!message?.value) throw new Error(`no message ${name}`);
  /** @type {Error[]} */
  const wrong = [];
  const text = bundle.formatPattern(message.value, args, wrong);
  if (wrong.length) throw new Error(`${name}: ${wrong[0]}`);
  return text;
}

/**
 * Every message that takes no variable, by name: what templates use as `t`.
 * @param {FluentBundle} bundle
 */
function plainWords(bundle) {
  /** @type {Record<string, string>} */
  const found = {};
  // The package has no public way to list its messages.
  for (const [name, { value }] of bundle._messages) {
    /** @type {Error[]} */
    const wrong = [];
    const text = value ? bundle.formatPattern(value, {}, wrong) : null;
    if (text !== null && !wrong.length) found[name] = text;
  }
  return found;
}
