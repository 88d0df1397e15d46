/** Another language is chosen on a page; the shop's own pages are told, so that they speak it too. */

import { ask, read, transact } from "./database.js";
import { ENGLISH } from "./language.js";
import { agreeOnPerson } from "./people.js";
import { forgetWords } from "./render.js";
import { send } from "./signed.js";
import { tell } from "./telling.js";

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

/** The shop's own pages go by its cookies: whose badge was scanned, and which language was chosen. */
export async function agreeWithShop() {
  await agreeOnPerson();
  await tellLanguage();
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
