/** How the pages before a job are answered: a view in the shop's frame, or on to another page. */

import { lockView } from "../../core/view/lock.js";
import { againView, shopPage } from "../../core/view/shop.js";
import { headers, unlocking } from "../answer.js";
import { saidIn } from "../forms.js";
import { told, truthOfAll } from "../truth.js";

/** @import { View } from "../../core/types.js" */
/** @import { Words } from "../render.js" */
/** @import { Shop } from "../shelf.js" */

/**
 * All that an answer may hang on.
 * @typedef {{url: URL, job: string, form: FormData, json: boolean, shop: Shop, words: Words}} Asked `json`: a script asks
 */

/**
 * A page; `title` is the name of a message.
 * @param {Asked} asked @param {string} title @param {View} content @param {number} [status]
 */
export async function page({ url, shop, words }, title, content, status = 200) {
  const { say, render, policy, sentence } = words;
  for (const part of Object.values(content)) {
    if (part?.error) part.error = sentence(part.error);
  }
  const name = shop.person?.name ?? null;
  const who = name && shop.seat.unchecked ? say("nav-unchecked", { name }) : name;
  const view = { ...shopPage(url.pathname, say(title), who, content, say), ...lockView(name, shop.seat.after_s, say) };
  const html = render("shop", { ...view, truth: told(await truthOfAll(), say) });
  return new Response(html, { status, headers: headers(policy) });
}

/** A form without its token: nothing is done, and it is offered once more. @param {Asked} asked */
export function again(asked) {
  const { texts, files } = saidIn(asked.form);
  const view = againView(asked.url.pathname + asked.url.search, texts, files, asked.words.say);
  return page(asked, "again-title", view, 403);
}

/** @param {string} path */
export function goOn(path) {
  return Response.redirect(path, 303);
}

/** A locked phone asks for the PIN, and then goes on where it was. @param {URL} url */
export function toUnlock(url) {
  return goOn(unlocking(url));
}
