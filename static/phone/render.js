/** The job pages in HTML: the same templates and words as the server's, byte for byte, from the app kept on the phone. */

import { FluentBundle } from "../vendor/fluent/index.js";
import Mustache from "../vendor/mustache.mjs";

/** @import { FluentResource } from "../vendor/fluent/index.js" */

/**
 * @typedef {{lang: string, templates: Record<string, string>, messages: FluentResource["body"], policy: string}} App
 * @typedef {(name: string, data: Record<string, any>) => string} Render
 * @typedef {{say: import("../core/types.js").Say, render: Render, policy: string}} Words
 */

/** @type {Record<string, string>} */
const SIGNS = { "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;" };

/** @type {Promise<Words>?} */
let kept = null;

/**
 * Words and templates of this version of the app, read once in a worker's life.
 * @param {() => Promise<Response>} find
 * @returns {Promise<Words>}
 */
export function words(find) {
  kept ??= find()
    .then((answer) => answer.json())
    .then(wordsOf)
    .catch((error) => {
      kept = null;
      throw error;
    });
  return kept;
}

/**
 * @param {App} app
 * @returns {Words}
 */
export function wordsOf({ lang, templates, messages, policy }) {
  const bundle = new FluentBundle(lang, { useIsolating: false });
  bundle.addResource(/** @type {FluentResource} */ ({ body: messages })); // parsed when the app was made
  const t = plainWords(bundle);
  const written = (/** @type {unknown} */ value) => String(value).replace(/[&<>"]/g, (sign) => SIGNS[sign]);
  return {
    policy,
    say: (name, args = {}) => said(bundle, name.replaceAll("_", "-"), args),
    render: (name, data) => Mustache.render(templates[name], { t, lang, ...data }, templates, { escape: written }),
  };
}

/** @param {FluentBundle} bundle @param {string} name @param {Record<string, any>} args */
function said(bundle, name, args) {
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
