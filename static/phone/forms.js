/**
 * The token that every form carries, as webapp/web/forms.py has it: another site's page cannot know it. The phone asks the
 * shop for this browser's, draws its own pages with it (token.js), and takes no form without it.
 */

import { NotAllowed } from "../core/errors.js";
import { bringToken, FIELD, isKnown, keepToken, tokenNow } from "./token.js";

const HEADER = "Baybook-Form";
const LIMIT_MS = 15_000;
const HURRIED_MS = 3_000;

/** Ask the shop for the token of this browser, and keep it. */
export async function learnToken(limit_ms = LIMIT_MS) {
  const answer = await fetch("/phone/token", { cache: "no-store", signal: AbortSignal.timeout(limit_ms) });
  if (!answer.ok) throw new Error(`/phone/token answered ${answer.status}`);
  await keepToken((await answer.json()).token);
}

/**
 * Whether a form comes from a page of this phone's. The shop may have drawn it before this phone learnt the token, or after
 * its storage was lost: so a token that is not known here is asked for, where the shop can be reached.
 * @param {FormData} form
 */
export async function isOurs(form) {
  await bringToken();
  const said = form.get(FIELD);
  if (typeof said !== "string" || said === "") return false;
  if (isKnown(said)) return true;
  await learnToken(HURRIED_MS).catch(() => undefined);
  return isKnown(said);
}

/** @param {FormData} form */
export async function needOurs(form) {
  if (await isOurs(form)) return;
  const message =
    "token: this form is too old, or was not made for this browser; nothing was done, send it again from here";
  throw new NotAllowed("form-token", FIELD, message);
}

/**
 * What a form says besides its token: its texts, and the fields in which a file was chosen.
 * @param {FormData} form
 * @returns {{texts: [string, string][], files: string[]}}
 */
export function saidIn(form) {
  const said = [...form].filter(([name]) => name !== FIELD);
  return {
    texts: /** @type {[string, string][]} */ (said.filter(([, value]) => typeof value === "string")),
    files: [...new Set(said.filter(([, value]) => value instanceof File && value.name).map(([name]) => name))],
  };
}

/**
 * Send the shop what a form of its pages would. Where its token is no longer this one, that is asked for once.
 * @param {string} path @param {Record<string, string | File>} fields @param {number} limit_ms @param {RequestInit} [about]
 */
export async function postForm(path, fields, limit_ms, about = {}) {
  const body = new FormData();
  for (const [name, value] of Object.entries(fields)) body.set(name, value);
  const sent = async () => {
    await bringToken();
    const headers = { Accept: "application/json", [HEADER]: tokenNow() };
    return fetch(path, { method: "POST", body, headers, signal: AbortSignal.timeout(limit_ms), ...about });
  };
  const answer = await sent();
  if (answer.status !== 403 || (await answer.clone().json()).error?.code !== "form-token") return answer;
  await learnToken();
  return sent();
}
