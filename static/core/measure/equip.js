/**
 * Which instruments a step's readings are taken with: the shop's own, as the kit's page states them, where it has any.
 *
 * An instrument is an item of the kit with its `accuracy`. A form names one by its code; where it says nothing, the first
 * that is fit for use stands; `none` means one that is not in the kit, and then the usual figures count.
 */

import { BadInput, shown } from "../errors.js";
import { nameOf, trouble } from "../kit.js";

/** @import { Kit } from "../kit.js" */
/** @import { Given } from "../types.js" */
/** @typedef {Record<string, any>} Measure */

export const NONE = "none";

/**
 * The kinds of instrument that the step asks for, in the order of its readings; four lengths are read by tape.
 * @param {Measure} measure
 * @returns {string[]}
 */
export function kindsOf(measure) {
  if (measure.method === "square") return ["tape"];
  const readings = measure.readings ?? [];
  return [...new Set(readings.map((/** @type {Measure} */ one) => one.instrument).filter(Boolean))];
}

/**
 * The codes of the shop's instruments of a kind, sorted.
 * @param {Kit} kit @param {string} kind
 */
export function instrumentsIn(kit, kind) {
  const codes = Object.keys(kit).sort();
  return codes.filter((code) => kit[code].is === kind && kit[code].accuracy);
}

/** @param {Kit} kit @param {string} kind @param {string} today */
export function fitForUse(kit, kind, today) {
  return instrumentsIn(kit, kind).filter((code) => !trouble(code, kit, today));
}

/**
 * What is read with, by kind: {code, name, due, accuracy}. A kind of which the shop has none is left out. Throws BadInput
 * (`instrument-unknown`, `instrument-out-of-service`), naming the field `instrument-KIND`.
 * @param {Measure} measure @param {Kit} kit @param {string} today @param {Given} given
 */
export function taken(measure, kit, today, given) {
  /** @type {Record<string, Record<string, any>>} */
  const found = {};
  for (const kind of kindsOf(measure)) {
    const field = `instrument-${kind}`;
    const code = given[field] || (fitForUse(kit, kind, today)[0] ?? NONE);
    if (code === NONE) continue;
    if (!instrumentsIn(kit, kind).includes(code)) {
      const message = `${field}=${shown(code)} is no ${kind} of the shop's kit; choose one of the list`;
      throw new BadInput("instrument-unknown", field, message);
    }
    const wrong = trouble(code, kit, today);
    if (wrong) {
      const message = `${field}=${shown(code)} must not be used, since it is ${wrong}; choose another one`;
      throw new BadInput("instrument-out-of-service", field, message);
    }
    const { inspection_due: due = null, accuracy } = kit[code];
    found[kind] = { code, name: nameOf(code, kit), due, accuracy };
  }
  return found;
}

/**
 * The measurement with the instrument of each reading in it, as `by`; with its own where one reads them all.
 * @param {Measure} measure @param {Record<string, any>} instruments
 * @returns {Measure}
 */
export function equipped(measure, instruments) {
  if (!Object.keys(instruments).length) return measure;
  if (measure.method === "square") return { ...measure, by: instruments.tape };
  const readings = measure.readings.map((/** @type {Measure} */ one) => ({
    ...one,
    by: instruments[one.instrument ?? ""] ?? null,
  }));
  return { ...measure, readings };
}
