/** How the library's English reads in the language chosen on this phone: a part of its own, which English never needs. */

import { Wording } from "../core/wording.js";
import { FluentNumber } from "../vendor/fluent/index.js";
import { read } from "./database.js";

/** @import { Sheet } from "../core/types.js" */
/** @import { Reads, Said } from "./render.js" */

/**
 * What the shelf brought last of that language; nothing yet, and the library is read in English.
 * @param {Said & {point?: string}} said
 * @returns {Promise<Reads>}
 */
export async function reads({ lang, forms, point }) {
  const { texts, drawn } = (await read("shelf", `texts-${lang}`)) ?? { texts: {}, drawn: {} };
  return readsOf(new Wording(texts, forms, point ?? "."), drawn);
}

/**
 * Where a number's thousands are parted, engines differ, and from the server: always, then.
 * @param {Record<string, any>} args
 */
function grouped(args) {
  const whole = (/** @type {any} */ value) =>
    typeof value === "number" ? new FluentNumber(value, { useGrouping: /** @type {any} */ ("always") }) : value;
  return Object.fromEntries(Object.entries(args).map(([name, value]) => [name, whole(value)]));
}

/**
 * @param {Wording} wording @param {Record<string, string>} drawn
 * @returns {Reads}
 */
export function readsOf(wording, drawn) {
  /** Sheets are large and the same from tap to tap. @type {WeakMap<Sheet, Sheet>} */
  const known = new WeakMap();
  return {
    args: (args) => grouped(wording.args(args)),
    sentence: (text) => wording.sentence(text),
    within: (value) => wording.within(value),
    sheet: (sheet) => {
      const made = known.get(sheet) ?? wording.on(sheet, drawn);
      known.set(sheet, made);
      return made;
    },
  };
}
