/** What a measure step shows: its fields, or the verdict on what was read and what to do about it. */

import { standMove } from "../drawing/move.js";
import { nameOf } from "../kit.js";
import { INCHES, inchLimits } from "../lengths.js";
import { fitForUse, instrumentsIn, kindsOf, NONE } from "../measure/equip.js";
import { fields, REPEATABLE } from "../measure/judged.js";
import { FEWEST } from "../measure/outlier.js";
import { inInches } from "../measure/reading.js";
import { TAPE_NAMES } from "../measure/square.js";
import { ASKS_REPEAT } from "../measure/verdicts.js";
import { rounded } from "../numbers.js";
import { asRead, figure, finely, length, lengthFigure, measured, spread, trimmed, unitSign } from "./figures.js";

/** @import { Kit } from "../kit.js" */
/** @import { Clock, Say, Step, StepState, View } from "../types.js" */

/** @type {Record<string, [string, string]>} */
const VERDICTS = {
  inside: ["inside", "●"],
  recorded: ["inside", "●"],
  "too-close-to-call": ["close", "◐"],
  outside: ["outside", "⊗"],
  "does-not-fit": ["close", "◐"],
  "read-again": ["close", "○"],
};

/**
 * @param {Step} step @param {StepState} was @param {Clock} _now @param {Say} say @param {boolean} again
 * @param {[Kit, string]} shop
 * @returns {View}
 */
export function measureView(step, was, _now, say, again, shop) {
  const measure = step.measure;
  const found = was.measured;
  const judged = found && !again && found.verdict !== "read-again" ? verdictView(found, say, measure.unit) : null;
  const asks = judged === null;
  const shown = {
    method: measure.method,
    fields: fieldsOf(measure, was, say),
    asks,
    judged,
    button: step.button || say("button-measure"),
    again: say(found && ASKS_REPEAT.includes(found.verdict) ? "button-repeat" : "button-moved"),
    may_overrule: !asks && found?.verdict === "too-close-to-call",
    repeat_of: was.sets.length && asks ? say("measure-repeat", { count: was.sets.length + 1 }) : null,
    more: asks && REPEATABLE.includes(measure.method) ? say("button-read-again") : null,
    instruments: asks ? instrumentsOf(measure, was, shop, say) : [],
    track:
      asks && measure.track_measured ? say("measure-track", { length: length(measure.track_mm, measure.unit) }) : null,
  };
  if (judged === null || !found?.fits) return { measure: shown };
  // Where the stand is and how it must move says more, now, than how to measure it.
  judged.move = standMove({ ...found, ...found.pose }, measure.target, say, measure.unit, measure.hubs);
  return { measure: shown, drawing: null };
}

/** @param {Record<string, any>} measure @param {StepState} was @param {Say} say */
function fieldsOf(measure, was, say) {
  // Whoever is to set a pressure or a height needs the figure before the reading, not with its verdict.
  const wanted = new Map();
  for (const { name, low, high, unit } of measure.readings ?? []) {
    wanted.set(name, limitsText(low, high, unit, say, measure.unit));
  }
  const floors = new Map();
  for (const one of measure.readings ?? []) if ("above" in one) floors.set(one.name, floorText(one, say, measure.unit));
  return fields(measure).map(([name, label, allowed]) => ({
    name,
    label: label || say(`reading-${name}`),
    unit: inInches(allowed, measure.unit) ? INCHES : unitSign(allowed.unit),
    // A keyboard of digits has no stroke for a fraction.
    keys: inInches(allowed, measure.unit) ? "text" : "decimal",
    wanted: wanted.get(name) ?? "",
    floor: floors.get(name) ?? null,
    so_far: was.sets.length
      ? say("measure-so-far", {
          values: was.sets
            .map((readings) => say("as-it-is", { text: asRead(readings[name], allowed.unit, measure.unit) }))
            .join(" · "),
        })
      : null,
  }));
}

/**
 * What a tape or a stand's scale should read here, and why that is not the figure of the sheet.
 * @param {Record<string, any>} one @param {Say} say @param {string} [unit]
 */
function floorText({ floor, low, high }, say, unit) {
  if (floor === null) return say("floor-not-surveyed");
  const told = floorLies(floor, say, unit);
  if (low === null || high === null) return told;
  return `${say("floor-reads", { length: length((low + high) / 2, unit) })} ${told}`;
}

/** @param {{fall_mm: number, u_mm: number}} floor @param {Say} say @param {string} [unit] */
function floorLies({ fall_mm, u_mm }, say, unit) {
  const way = fall_mm > 0 ? "lower" : fall_mm < 0 ? "higher" : "level";
  return say("floor-lies", { way, fall: finely(Math.abs(fall_mm), unit), U: finely(2 * u_mm, unit) });
}

/**
 * What can be read with, a choice for each kind of instrument that the step asks for.
 * @param {Record<string, any>} measure @param {StepState} was @param {[Kit, string]} shop @param {Say} say
 */
function instrumentsOf(measure, was, [kit, today], say) {
  const used = was.measured?.instruments ?? {};
  return kindsOf(measure)
    .filter((kind) => instrumentsIn(kit, kind).length)
    .map((kind) => choice(kind, used[kind]?.code, fitForUse(kit, kind, today), kit, say));
}

/** @param {string} kind @param {string | undefined} used @param {string[]} fit @param {Kit} kit @param {Say} say */
function choice(kind, used, fit, kit, say) {
  const chosen = fit.find((code) => code === used) ?? fit[0] ?? NONE;
  const options = fit.map((code) => {
    const [name, day] = [nameOf(code, kit), kit[code].inspection_due];
    const text = day ? say("instrument-due", { name, code, day }) : say("instrument-named", { name, code });
    return { code, chosen: code === chosen, text };
  });
  const none = { code: NONE, chosen: chosen === NONE, text: say("instrument-none") };
  return { kind, label: say(`instrument-${kind}`), options: [...options, none], unfit: !fit.length };
}

/**
 * The verdict in words with its shape, each part against its limits, and the advice in the order a person follows it.
 * @param {Record<string, any>} found @param {Say} say @param {string} [unit] the shop's for lengths
 * @returns {View}
 */
export function verdictView(found, say, unit) {
  const [look, shape] = VERDICTS[found.verdict];
  const advice = found.advice ?? [];
  return {
    class: look,
    shape,
    title: say(`verdict-${found.verdict}`),
    parts: found.parts.map((/** @type {any} */ one) => part(one, say, unit)),
    has_parts: found.parts.length > 0,
    advice: advice.flatMap((/** @type {any} */ entry, /** @type {number} */ at) => advised(at + 1, entry, say, unit)),
    odd: oddIn(found, say, unit),
    expect: expected(found, advice, say, unit),
    misfit: found.verdict === "does-not-fit" ? say("measure-misfit", { misfit: figure(found.misfit, 1) }) : null,
    repeats: repeats(found, say),
  };
}

/**
 * Which reading does not go with the others; where there are several and none can be named, why not.
 * @param {Record<string, any>} found @param {Say} say @param {string} [unit]
 */
function oddIn(found, say, unit) {
  if (found.odd_one_out) return say("measure-odd-one", { tape: say(`reading-${found.odd_one_out}`) });
  if (found.odd_reason) return say(`measure-odd-${found.odd_reason}`);
  if (found.method !== "values" || found.sets < 2) return null;
  const leftOut = found.parts.filter((/** @type {any} */ one) => "left_out" in one);
  if (!leftOut.length) return say(found.sets < FEWEST ? "measure-odd-of-two" : "measure-odd-none");
  const told = leftOut.map((/** @type {any} */ { label, unit: of, left_out, left_out_no }) =>
    say("measure-left-out", {
      label,
      no: left_out_no,
      value: asRead(left_out, of, unit),
      unit: unitSign(of, unit),
    }),
  );
  return told.join(" ");
}

/** @param {Record<string, any>} one @param {Say} say @param {string} [unit] */
function part(one, say, unit) {
  const [look, shape] = VERDICTS[one.verdict];
  return {
    label: one.label ? say("as-it-is", { text: one.label }) : say(`part-${one.name}`),
    ...measured(one, say, unit),
    limits: limitsText(one.low, one.high, one.unit, say, unit),
    how: howRead(one, say, unit),
    class: look,
    shape,
    verdict: say(`verdict-short-${one.verdict}`),
  };
}

/**
 * What a value rests on: how many readings, how far they scatter, and which of the shop's instruments.
 * @param {Record<string, any>} one @param {Say} say @param {string} [unit] the shop's for lengths
 */
export function howRead(one, say, unit) {
  const { n, floor, by } = one;
  const said = [];
  if (n) said.push(say("part-mean", { count: n, s: spread(one, unit), unit: unitSign(one.unit, unit) }));
  if (floor) said.push(floorLies(floor, say, unit));
  if (by) said.push(say("instrument-named", { name: by.name, code: by.code }));
  return said.join(" · ");
}

/**
 * Limits in inches are followed by those in mm that they come from, since they lie a little within them.
 * @param {number?} low @param {number?} high @param {string} of @param {Say} say @param {string} [unit] the shop's
 */
export function limitsText(low, high, of, say, unit) {
  const [lower, upper] = [low, high].map((one) => (one === null ? null : trimmed(one)));
  const told = limits(lower, upper, unitSign(of), say);
  if (of !== "mm" || unit !== INCHES || !told) return told;
  const [least, most] = inchLimits(low, high);
  return `${limits(least, most, INCHES, say)} · ${told}`;
}

/** @param {string?} low @param {string?} high @param {string} unit @param {Say} say */
function limits(low, high, unit, say) {
  if (low === null && high === null) return "";
  if (low === null) return say("limits-at-most", { value: high, unit });
  if (high === null) return say("limits-at-least", { value: low, unit });
  return say("limits-between", { low, high, unit });
}

/** @param {number} number @param {Record<string, any>} entry @param {Say} say @param {string} [unit] */
function advised(number, { do: what, mm, left_end_mm, ...args }, say, unit) {
  if (what === "expect") return [];
  const lengthMm = mm ?? left_end_mm;
  const told = lengthMm === undefined ? args : { ...args, length: length(lengthMm, unit) };
  // Fluent takes strings and numbers; 'nearer', 'left' and the like choose a variant of the sentence.
  return [{ number, text: say(`advice-${what}`, told) }];
}

/** @param {Record<string, any>} found @param {Record<string, any>[]} advice @param {Say} say @param {string} [unit] */
function expected(found, advice, say, unit = "mm") {
  const entry = advice.find((one) => one.do === "expect");
  if (!entry || found.verdict === "inside") return null;
  const tapes = TAPE_NAMES.map((name) => ({
    label: say(`reading-${name}`),
    value: lengthFigure(rounded(entry.tapes_mm[name], 0), unit),
  }));
  return { unit, tapes };
}

/** @param {Record<string, any>} found @param {Say} say */
function repeats(found, say) {
  if (found.verdict !== "too-close-to-call") return null;
  const close = found.parts.filter((/** @type {any} */ one) => one.verdict === "too-close-to-call");
  if (close.some((/** @type {any} */ one) => one.repeats === null)) return say("repeats-none");
  const known = close.flatMap((/** @type {any} */ one) => (one.repeats ? one.repeats - (one.n ?? 1) : []));
  return known.length ? say("repeats-settle", { count: Math.max(1, ...known) }) : say("repeats-unknown");
}
