/**
 * The token that every form carries, as webapp/web/forms.py has it: another site's page cannot know it. The phone asks the
 * shop for this browser's, draws its own pages with it, and takes no form without it.
 */

import { NotAllowed } from "../core/errors.js";
import { ask, read, transact } from "./database.js";

const FIELD = "token";
const HEADER = "Baybook-Form";
const LIMIT_MS = 15_000;
const HURRIED_MS = 3_000;

/** @typedef {{value: string, former?: string}} Kept the token, and the one before it, which pages still open may carry */

/** @type {Kept?} */
let here = null;

/**
 * Bring the token to mind. Where the shop has told none yet, or the storage cannot be read, one of the phone's own does for
 * what the phone answers itself.
 */
export async function bringToken() {
  here ??= (await read("shelf", FIELD).catch(() => null)) ?? { value: crypto.randomUUID() };
}

/** What the pages carry that are drawn now; empty before `bringToken`. */
export function tokenNow() {
  return here?.value ?? "";
}

/** Ask the shop for the token of this browser, and keep it. */
export async function learnToken(limit_ms = LIMIT_MS) {
  const answer = await fetch("/phone/token", { cache: "no-store", signal: AbortSignal.timeout(limit_ms) });
  if (!answer.ok) throw new Error(`/phone/token answered ${answer.status}`);
  const { token } = await answer.json();
  await bringToken();
  if (here?.value === token) return;
  here = { value: token, former: here?.value };
  await transact(["shelf"], "readwrite", async (transaction) => {
    await ask(transaction.objectStore("shelf").put({ name: FIELD, ...here }));
  });
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

/** @param {string} said */
function isKnown(said) {
  return said === here?.value || said === here?.former;
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
