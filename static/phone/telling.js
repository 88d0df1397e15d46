/** Telling the shop's own pages, which go by its cookies, of a choice that was made on this phone. */

import { ask, transact } from "./database.js";
import { postForm } from "./forms.js";

const LIMIT_MS = 15_000;

/**
 * Send what was chosen as a page's form would, and note that the shop has heard, unless something else was chosen since.
 * @param {Record<string, any>} chosen what stands on the shelf under its `name`
 * @param {string} mark the field by which another choice is told from this one
 * @param {string} path @param {Record<string, string>} fields
 */
export async function tell(chosen, mark, path, fields) {
  const answer = await postForm(path, fields, LIMIT_MS, { redirect: "manual" });
  if (answer.status >= 500) throw new Error(`${path} answered ${answer.status}`);
  await transact(["shelf"], "readwrite", async (transaction) => {
    const kept = transaction.objectStore("shelf");
    const now = await ask(kept.get(chosen.name));
    if (now?.[mark] === chosen[mark]) kept.put({ ...now, untold: false });
  });
}
