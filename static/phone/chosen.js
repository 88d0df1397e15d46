/** Another language is chosen on a page; the shop's own pages are told, so that they speak it too. */

import { unlocking } from "./answer.js";
import { ask, read, transact } from "./database.js";
import { ENGLISH } from "./language.js";
import { agreeOnPerson } from "./people.js";
import { forgetWords } from "./render.js";
import { send } from "./signed.js";
import { tell } from "./telling.js";
import { seat } from "./who.js";

const FOR_ANYBODY = /^\/(badge|phone|check)(\/|$)/;

/**
 * Keep the choice, and go back to where it was made.
 * @param {FormData} form
 */
export async function takeLanguage(form) {
  const code = String(form.get("language") ?? "");
  const back = String(form.get("back") ?? "");
  if (Object.hasOwn(self.APP.languages, code)) {
    await transact(["shelf"], "readwrite", async (transaction) => {
      await ask(transaction.objectStore("shelf").put({ name: "language", code, untold: true }));
    });
    forgetWords();
  }
  return Response.redirect(/^\/(?![/\\])/.test(back) ? back : "/", 303);
}

/**
 * The shop's own pages go by its cookies: who works here, and which language was chosen.
 * @param {import("./signed.js").Me} me
 */
export async function agreeWithShop(me) {
  await agreeOnPerson(me);
  await tellLanguage();
}

/** The same at once, for a page that goes by what the shop knows. */
export async function tellShop() {
  const me = await read("device", "me");
  if (me?.key) await agreeWithShop(me);
}

/**
 * Before the shop gives one of its own pages: a locked phone is to be unlocked first; and where somebody has worked here
 * for long without the shop, it must hear that they still do.
 * @param {Request} request
 */
export async function beforeShop(request) {
  const url = new URL(request.url);
  if (FOR_ANYBODY.test(url.pathname)) return null;
  if ((await seat()).locked) return Response.redirect(unlocking(url), 303);
  await tellShop().catch(() => undefined);
  return null;
}

/** Tell the shop, where it has not heard. */
async function tellLanguage() {
  const chosen = await read("shelf", "language");
  if (!chosen?.untold) return;
  await tell(chosen, "code", "/language", { language: chosen.code });
}

/**
 * What the library reads like in each language, where that has changed: another may be chosen with the network cut.
 * @param {import("./signed.js").Me} me
 */
export async function loadTexts(me) {
  for (const code of Object.keys(self.APP.languages).filter((one) => one !== ENGLISH)) {
    const name = `texts-${code}`;
    const etag = (await read("shelf", name))?.etag;
    const answer = await send(me, "GET", `/sync/texts/${code}`, undefined, etag ? { "If-None-Match": etag } : {});
    if (answer.status === 304) continue;
    const { texts, drawn } = await answer.json();
    await transact(["shelf"], "readwrite", async (transaction) => {
      await ask(transaction.objectStore("shelf").put({ name, texts, drawn, etag: answer.headers.get("ETag") }));
    });
    forgetWords();
  }
}
