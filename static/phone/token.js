/** The token that this phone's pages carry in their forms. The rest of it is in forms.js, which no page needs to be shown. */

import { ask, read, transact } from "./database.js";

export const FIELD = "token";

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

/** @param {string} said */
export function isKnown(said) {
  return said === here?.value || said === here?.former;
}

/** The shop has told this one. @param {string} token */
export async function keepToken(token) {
  await bringToken();
  if (here?.value === token) return;
  here = { value: token, former: here?.value };
  await transact(["shelf"], "readwrite", async (transaction) => {
    await ask(transaction.objectStore("shelf").put({ name: FIELD, ...here }));
  });
}
