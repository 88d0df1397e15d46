/** What a measure step shows: its fields, or the verdict on what was read and what to do about it. */

import { standMove } from "../drawing/move.js";
import { ASKS_REPEAT, fields } from "../measure/judged.js";
import { TAPE_NAMES } from "../measure/square.js";
import { digitsFor, figure, trimmed, unitSign } from "./figures.js";

/** @import { Say, ShowsKind, View } from "../types.js" */

/** @type {Record<string, [string, string]>} */
const VERDICTS = {
  inside: ["inside", "●"],
  recorded: ["inside", "●"],
  "too-close-to-call": ["close", "◐"],
  outside: ["outside", "⊗"],
  "does-not-fit": ["close", "◐"],
};

/** @type {ShowsKind} */
export function measureView(step, was, _now, say, again) {
  const measure = step.measure;
  const found = was.measured;
  const judged = found && !again ? verdictView(found, say) : null;
  const shown = {
    method: measure.method,
    fields: fieldsOf(measure, say),
    asks: judged === null,
    judged,
    button: step.button || say("button-measure"),
    again: say(found && ASKS_REPEAT.includes(found.verdict) ? "button-repeat" : "button-moved"),
    may_overrule: judged !== null && found?.verdict === "too-close-to-call",
    repeat_of: was.sets.length && judged === null ? say("measure-repeat", { count: was.sets.length + 1 }) : null,
  };
  if (judged === null || !found?.fits) return { measure: shown };
  // Where the stand is and how it must move says more, now, than how to measure it.
  judged.move = standMove({ ...found, ...found.pose }, measure.target, say);
  return { measure: shown, drawing: null };
}

/** @param {Record<string, any>} measure @param {Say} say */
function fieldsOf(measure, say) {
  // Whoever is to set a pressure or a height needs the figure before the reading, not with its verdict.
  const wanted = new Map();
  for (const { name, low, high, unit } of measure.readings ?? []) wanted.set(name, limitsText(low, high, unit, say));
  return fields(measure).map(([name, label, allowed]) => ({
    name,
    label: label || say(`reading-${name}`),
    unit: unitSign(allowed.unit),
    wanted: wanted.get(name) ?? "",
  }));
}

/**
 * The verdict in words with its shape, each part against its limits, and the advice in the order a person follows it.
 * @param {Record<string, any>} found @param {Say} say
 * @returns {View}
 */
export function verdictView(found, say) {
  const [look, shape] = VERDICTS[found.verdict];
  const advice = found.advice ?? [];
  return {
    class: look,
    shape,
    title: say(`verdict-${found.verdict}`),
    parts: found.parts.map((/** @type {any} */ one) => part(one, say)),
    has_parts: found.parts.length > 0,
    advice: advice.flatMap((/** @type {any} */ entry, /** @type {number} */ at) => advised(at + 1, entry, say)),
    odd: found.odd_one_out ? say("measure-odd-one", { tape: say(`reading-${found.odd_one_out}`) }) : null,
    expect: expected(found, advice, say),
    misfit: found.verdict === "does-not-fit" ? say("measure-misfit", { misfit: figure(found.misfit, 1) }) : null,
    repeats: repeats(found, say),
  };
}

/** @param {Record<string, any>} one @param {Say} say */
function part(one, say) {
  const decimals = digitsFor(one.U);
  const [look, shape] = VERDICTS[one.verdict];
  return {
    label: one.label || say(`part-${one.name}`),
    value: figure(one.value, decimals),
    U: figure(one.U, decimals),
    unit: unitSign(one.unit),
    limits: limitsText(one.low, one.high, one.unit, say),
    class: look,
    shape,
    verdict: say(`verdict-short-${one.verdict}`),
  };
}

/** @param {number?} low @param {number?} high @param {string} unit @param {Say} say */
export function limitsText(low, high, unit, say) {
  if (low === null && high === null) return "";
  const sign = unitSign(unit);
  if (low === null) return say("limits-at-most", { value: trimmed(high ?? 0), unit: sign });
  if (high === null) return say("limits-at-least", { value: trimmed(low), unit: sign });
  return say("limits-between", { low: trimmed(low), high: trimmed(high), unit: sign });
}

/** @param {number} number @param {Record<string, any>} entry @param {Say} say */
function advised(number, { do: what, ...args }, say) {
  // Fluent takes strings and numbers; 'nearer', 'left' and the like choose a variant of the sentence.
  return what === "expect" ? [] : [{ number, text: say(`advice-${what}`, args) }];
}

/** @param {Record<string, any>} found @param {Record<string, any>[]} advice @param {Say} say */
function expected(found, advice, say) {
  const entry = advice.find((one) => one.do === "expect");
  if (!entry || found.verdict === "inside") return null;
  const tapes = TAPE_NAMES.map((name) => ({ label: say(`reading-${name}`), value: figure(entry.tapes_mm[name], 0) }));
  return { tapes };
}

/** @param {Record<string, any>} found @param {Say} say */
function repeats(found, say) {
  if (found.verdict !== "too-close-to-call") return null;
  const close = found.parts.filter((/** @type {any} */ one) => one.verdict === "too-close-to-call");
  const wanted = close.map((/** @type {any} */ one) => (one.repeats === undefined ? 0 : one.repeats));
  if (wanted.includes(null)) return say("repeats-none");
  const most = Math.max(0, ...wanted);
  return most ? say("repeats-settle", { count: Math.max(1, most - found.sets) }) : say("repeats-unknown");
}
