/** How English texts read in another language: webapp/core/wording.py once more. */

import { redrawn } from "./redrawn.js";

/** @import { Sheet } from "./types.js" */

const TEXTS = new Set(
  "title ask label name do short why mistakes hazard button photo blocks cause check back_to target_name spot_name".split(
    " ",
  ),
);
const FIGURE = /^[\u2212-]?[0-9]+(?:[\u202f\u2009][0-9]{3})*[.][0-9]+(?: mm| in)?$/;
const HOLE = /\{(\w+)\}/;
const HOLES = /\{(\w+)\}/g;
const SIGNS = /[\\^$.*+?()[\]{}|]/g;

/** What English texts read like. `texts` are whole ones, `forms` have holes, and `point` is the decimal sign. */
export class Wording {
  /** @param {Record<string, string>} texts @param {[string, string][]} forms @param {string} point */
  constructor(texts, forms, point) {
    this.texts = new Map(Object.entries(texts));
    this.point = point;
    this.forms = forms.map(([form, other]) => {
      const parts = form.split(HOLE);
      const source = parts.map((part, number) => (number % 2 ? "(.*)" : part.replace(SIGNS, "\\$&"))).join("");
      return { pattern: new RegExp(`^${source}$`, "s"), holes: parts.filter((_, number) => number % 2), other };
    });
  }

  /** A whole text, or a figure with its decimal sign; itself where there is no other word for it. @param {string} text */
  of(text) {
    if (this.point !== "." && FIGURE.test(text)) return text.replace(".", this.point);
    return this.texts.get(text) ?? text;
  }

  /** What is filled into a message. @param {Record<string, any>} args */
  args(args) {
    const worded = (/** @type {any} */ value) => (typeof value === "string" ? this.of(value) : value);
    return Object.fromEntries(Object.entries(args).map(([name, value]) => [name, worded(value)]));
  }

  /** A refusal, or a whole text; itself where no form fits. @param {string} text @returns {string} */
  sentence(text) {
    if (this.texts.has(text)) return this.of(text);
    for (const { pattern, holes, other } of this.forms) {
      const found = pattern.exec(text);
      if (!found) continue;
      const values = new Map(holes.map((name, number) => [name, found[number + 1]]));
      return other.replace(HOLES, (_, name) => this.sentence(values.get(name) ?? ""));
    }
    return this.of(text);
  }

  /**
   * The same part of a library or a sheet, with every text that people read in this language.
   * @template T @param {T} value @returns {T}
   */
  within(value) {
    return this.worded(value, false);
  }

  /**
   * The sheet as it is read in this language. `drawn` has parts of drawings: English -> as drawn for it.
   * @param {Sheet} sheet @param {Record<string, string>} drawn @returns {Sheet}
   */
  on(sheet, drawn) {
    const made = this.within(sheet);
    for (const step of made.steps) {
      if (step.drawing) step.drawing = redrawn(step.drawing, drawn);
    }
    return made;
  }

  /** @param {any} value @param {boolean} read @returns {any} */
  worded(value, read) {
    if (typeof value === "string") return read ? (this.texts.get(value) ?? value) : value;
    if (Array.isArray(value)) return value.map((one) => this.worded(one, read));
    if (!value || typeof value !== "object") return value;
    if (value instanceof Map) return new Map([...value].map(([name, one]) => [name, this.worded(one, false)]));
    return Object.fromEntries(Object.entries(value).map(([name, one]) => [name, this.worded(one, TEXTS.has(name))]));
  }
}
