/** What whoever opens a job should look at: where two phones crossed, and where the server decided otherwise. */

import { stepOf } from "../fold.js";
import { fields } from "../measure/judged.js";
import { canonical } from "../sheet.js";
import { cut } from "../text.js";
import { asRead } from "./figures.js";

/** @import { Shown } from "../crossing.js" */
/** @import { Event, Say, Sheet, Step, View } from "../types.js" */

const LONGEST_TOLD = 200;
/** Differences that have a sentence of their own; the others name what was decided. */
const DIFFERENCES = ["answer", "answer-waits", "chain", "pin", "sheet-made", "sign-in"];

/**
 * `apart` for a job's page, or nothing where there is nothing to look at. `names` are those behind the badges.
 * @param {Sheet} sheet @param {Shown[]} found @param {Record<string, string>} names @param {Say} say
 * @returns {View}
 */
export function apartView(sheet, found, names, say) {
  if (!found.length) return {};
  return {
    apart: {
      count: say("apart-count", { count: found.length }),
      list: found.map((one) => thing(sheet, one, names, say)),
    },
  };
}

/** @param {Sheet} sheet @param {Shown} one @param {Record<string, string>} names @param {Say} say */
function thing(sheet, { event, what, phone, server, other }, names, say) {
  const step = stepOf(sheet, event.step)?.do ?? "";
  if (other) {
    return { step, title: say(`apart-${what}`), told: [other, event].map((one) => done(sheet, one, names, say)) };
  }
  const title = DIFFERENCES.includes(what) ? say(`apart-${what}`) : say("apart-decided", { what });
  const told = [
    { by: say("apart-by-phone"), what: said(phone) },
    { by: say("apart-by-server"), what: said(server) },
  ];
  return { step, title, told };
}

/**
 * Who did what: a reading's figures, an answer, a label, or the word for such an event.
 * @param {Sheet} sheet @param {Event} event @param {Record<string, string>} names @param {Say} say
 */
function done(sheet, { kind, step: name, person, data }, names, say) {
  const step = stepOf(sheet, name);
  const detail = (step && DETAILS[kind]?.(step, data, say)) || "none";
  const by = (person && names[person]) || person || say("apart-by-nobody");
  return { by, what: say("apart-did", { what: say(`apart-did-${kind}`), detail }) };
}

/** @typedef {(step: Step, data: Record<string, any>, say: Say) => string} Tells */

/** @type {Tells} */
function readings(step, data, say) {
  const known = new Map(fields(step.measure).map(([name, label, { unit }]) => [name, { label, unit }]));
  const figures = Object.keys(data.readings)
    .sort()
    .map((name) => {
      const { label = name, unit = "" } = known.get(name) ?? {};
      const text = asRead(data.readings[name], unit, step.measure.unit);
      return `${label || say(`reading-${name}`)} ${say("as-it-is", { text })}`;
    });
  return [...figures, say(`verdict-${data.verdict}`)].join("; ");
}

/** @type {Record<string, Tells>} */
const DETAILS = {
  measured: readings,
  chosen: (step, { option }) => step.options.find((/** @type {any} */ one) => one.value === option)?.label ?? option,
  scanned: (_step, { text }) => cut(text, LONGEST_TOLD),
  resulted: (_step, { outcome }, say) => say(`outcome-${outcome}`),
};

/** @param {any} value */
function said(value) {
  return cut(typeof value === "string" ? value : canonical(value ?? null), LONGEST_TOLD);
}
