/** Who is working on this phone: begun with a badge of the shelf and a PIN, locked when it is left lying, given back. */

import { BadInput, BaybookError, NotFound, shown } from "../../core/errors.js";
import { readBadge } from "../../core/labels.js";
import { cut } from "../../core/text.js";
import { badgeView, pinView } from "../../core/view/shop.js";
import { statusOf } from "../answer.js";
import { timeOf } from "../clock.js";
import { signIn } from "../sign-in.js";
import { leave, lock, use } from "../who.js";
import { goOn, page } from "./page.js";

/** @import { Person } from "../../core/types.js" */
/** @import { Asked } from "./page.js" */

const LONGEST_SHOWN = 200;
const DIGITS = /^\p{Nd}*$/u;

/** @param {Asked} asked */
export function showBadge(asked) {
  const { holder, locked } = asked.shop.seat;
  const to = onwards(asked.url.searchParams.get("to") ?? "");
  return locked && holder ? pinPage(asked, holder.name, "", to) : badgePage(asked, to);
}

/** @param {Asked} asked */
export async function takeBadge(asked) {
  const { form } = asked;
  const field = (/** @type {string} */ name) => String(form.get(name) ?? "");
  const to = onwards(field("to"));
  if (form.has("leave")) {
    await leave();
    return goOn("/badge");
  }
  if (form.has("lock")) {
    await lock();
    return goOn(`/badge${to ? `?to=${encodeURIComponent(to)}` : ""}`);
  }
  if (form.has("other")) return badgePage(asked, to);
  if (form.has("used")) return stillUsed();
  let [badge, pin] = [field("badge"), field("pin")];
  if (pin && !DIGITS.test(pin)) [badge, pin] = [pin, ""]; // the one field takes a badge, too: somebody else begins
  return begin(asked, badge, pin, to);
}

async function stillUsed() {
  const done = await use().catch(() => null);
  return new Response(null, { status: done ? 204 : 403 });
}

/** The page of this shop to go on to, or nothing. @param {string} to */
function onwards(to) {
  return /^\/(?![/\\])/.test(to) ? to : "";
}

/**
 * With a badge and no PIN yet, ask for it; with both, or with the PIN of whoever has the phone, let them begin.
 * @param {Asked} asked @param {string} badge @param {string} pin @param {string} to
 */
async function begin(asked, badge, pin, to) {
  /** @type {Person} */
  let found;
  try {
    found = badge || !pin ? personOf(badge, asked.shop.people) : holderOf(asked);
  } catch (error) {
    if (!(error instanceof BaybookError)) throw error;
    return told(asked, error) ?? badgePage(asked, to, error.message, cut(badge, LONGEST_SHOWN), statusOf(error));
  }
  if (!pin) return pinPage(asked, found.name, badge, to);
  try {
    await signIn(found, pin);
  } catch (error) {
    if (!(error instanceof BaybookError)) throw error;
    return told(asked, error) ?? pinPage(asked, found.name, badge, to, error.message, statusOf(error));
  }
  return asked.json ? new Response(null, { status: 204 }) : goOn(to || "/");
}

/** To a script, the refusal itself. @param {Asked} asked @param {BaybookError} error */
function told({ json, words }, { code, field, message, ...error }) {
  if (!json) return null;
  return Response.json({ error: { code, field, message: words.sentence(message) } }, { status: statusOf(error) });
}

/** @param {string} text @param {import("../texts.js").People} people @returns {Person} */
function personOf(text, people) {
  const code = readBadge(text);
  if (Object.hasOwn(people, code)) return { code, ...people[code] };
  const message = `badge=${shown(code)} is nobody's badge here; look at the people's page`;
  throw new NotFound("badge-unknown", "badge", message);
}

/** Whoever had the phone when it was locked. @param {Asked} asked @returns {Person} */
function holderOf({ shop }) {
  if (shop.seat.holder) return shop.seat.holder;
  throw new BadInput("badge-missing", "badge", "badge is empty; scan your badge, then type your PIN");
}

/** @param {Asked} asked @param {string} to */
function badgePage(asked, to, error = /** @type {string?} */ (null), text = "", status = 200) {
  const { say } = asked.words;
  const { name = null, role = null } = asked.shop.person ?? {};
  const { wrong } = asked.shop;
  const note = wrong ? say("badge-sign-in-wrong", { name: wrong.name, time: timeOf(wrong.at) }) : null;
  return page(asked, "badge-title", badgeView(name, role, say, error ?? note, text, to), status);
}

/** @param {Asked} asked @param {string} name @param {string} badge @param {string} to */
function pinPage(asked, name, badge, to, error = /** @type {string?} */ (null), status = 200) {
  return page(asked, "badge-title", pinView(name, badge, asked.words.say, error, to), status);
}
