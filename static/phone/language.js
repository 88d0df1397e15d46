/** In which language this phone is read: the one chosen on its pages, else the first it asks for, else English. */

import { read } from "./database.js";

export const ENGLISH = "en";

/**
 * Of the languages that the app has. Where the storage cannot be read, that is said in some language all the same.
 * @returns {Promise<string>}
 */
export async function languageHere() {
  const chosen = await read("shelf", "language").catch(() => null);
  const asked = navigator.languages.flatMap((one) => [one, one.split("-")[0]]);
  return [chosen?.code, ...asked].find((one) => Object.hasOwn(self.APP.languages, one)) ?? ENGLISH;
}
