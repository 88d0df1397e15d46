/** The plan: which calibrations are due and why, in which order, with which kit, on how much floor, and how long. */

import { codesFor, trouble } from "../kit.js";
import { roomy, roomyUnit } from "../lengths.js";
import { rounded } from "../numbers.js";
import {
  areaNeeded,
  expectedS,
  kitNeeded,
  planned,
  procedureOf,
  propose,
  usualAnswers,
  workingOrder,
} from "../plan.js";
import { groups } from "../vin.js";
import { fitView } from "./area.js";

/** @import { Facts } from "../intake.js" */
/** @import { Kit } from "../kit.js" */
/** @import { Library, Procedure, Proposal, Say, Vehicle, View } from "../types.js" */

/**
 * By procedure the shop's own median and 80th percentile in s, and of how many jobs; fewer than five have none.
 * @typedef {Record<string, [number, number, number]>} Times
 * @typedef {Record<string, string>} Typed the form that was refused
 */

/**
 * `typed` is the form that was refused with `error`.
 * @param {Library} library @param {Facts} facts @param {Times} times @param {Kit} kit @param {string} today
 * @param {Say} say @param {string?} [error] @param {Typed} [typed]
 * @returns {View}
 */
export function planView(library, facts, times, kit, today, say, error = null, typed = {}) {
  const vehicle = /** @type {Vehicle} */ (library.vehicles.get(facts.vehicle));
  const plan = planned(library, facts);
  const names = plan.map((one) => one.procedure);
  const gone = facts.plan.struck;
  const struck = propose(library, vehicle, facts.reasons).filter((one) => Object.hasOwn(gone, one.procedure));
  const free = (/** @type {string} */ name) => !names.includes(name) && !Object.hasOwn(gone, name);
  const others = [...library.procedures.keys()].filter((name) => Object.hasOwn(vehicle.specs, name) && free(name));
  return {
    plan: {
      url: `/jobs/${facts.id}`,
      order: facts.repair_order,
      vehicle: `${vehicle.maker} ${vehicle.model}`,
      vin: groups(facts.vin).join(" "),
      error,
      anew: null, // what a phone drafts, it plans by the shelf that it has
      none: !plan.length,
      calibrations: plan.map((one) => calibration(library, vehicle, one, typed, say)),
      struck: struck.map(({ procedure: name }) => ({
        name,
        title: procedureOf(library, name).title,
        why: say("plan-struck", { why: gone[name] }),
      })),
      add: others.length ? addable(library, others, typed) : null,
      work: plan.length
        ? { ...work(library, vehicle, facts, names, times, kit, today, say), fit: fitView(null, say, library.unit) }
        : null,
    },
  };
}

/** @param {Library} library @param {Vehicle} vehicle @param {Proposal} one @param {Typed} typed @param {Say} say */
function calibration(library, vehicle, { procedure: name, because, added }, typed, say) {
  const { source, revision } = vehicle.specs[name];
  const striking = typed.do === "strike" && typed.calibration === name;
  const reasons = because.map((reason) => say(`reason-${reason}`)).join(", ");
  return {
    name,
    title: procedureOf(library, name).title,
    why: added ? say("plan-added", { why: added }) : say("plan-because", { reasons }),
    source: say("plan-source", { source, revision }),
    striking,
    reason: striking ? (typed.reason ?? "") : "",
  };
}

/** @param {Library} library @param {string[]} names @param {Typed} typed */
function addable(library, names, typed) {
  const adding = typed.do === "add";
  const options = names.map((name) => ({
    name,
    title: procedureOf(library, name).title,
    chosen: adding && typed.calibration === name,
  }));
  return { adding, options, reason: adding ? (typed.reason ?? "") : "" };
}

/**
 * @param {Library} library @param {Vehicle} vehicle @param {Facts} facts @param {string[]} names @param {Times} times
 * @param {Kit} kit @param {string} today @param {Say} say
 */
function work(library, vehicle, facts, names, times, kit, today, say) {
  const known = { ...usualAnswers(library.procedures.values()), ...facts.qualifiers };
  const order = workingOrder(library, names);
  const all = order.map((one) => one.procedure);
  const parts = order.map((one) => ({ title: one.title, ...expected(one, known, all, times) }));
  return {
    kit: kitNeeded(vehicle, names).map(({ target, spot }) => {
      const pieces = codesFor(target, kit).map((code) => piece(code, trouble(code, kit, today), say));
      const { targets, spots } = library.catalogue;
      return { target: targets[target].name, spot: spots[spot].name, pieces, none: !pieces.length };
    }),
    area: area(library, vehicle, names, say),
    parts: parts.map(({ title, median_s, p80_s, jobs }) => ({
      title,
      from: jobs ? say("plan-from-jobs", { count: jobs }) : say("plan-from-procedure"),
      median: minutes(median_s, say),
      p80: p80_s === null ? "–" : minutes(p80_s, say),
    })),
    total: minutes(
      parts.reduce((sum, one) => sum + one.median_s, 0),
      say,
    ),
  };
}

/**
 * From the shop's own finished jobs where there are enough, else from the procedure.
 * @param {Procedure} procedure @param {Record<string, string>} known @param {string[]} order
 * @param {Times} times
 */
function expected(procedure, known, order, times) {
  const [median_s, p80_s, jobs] = times[procedure.procedure] ?? [expectedS(procedure, known, order), null, 0];
  return { median_s, p80_s, jobs };
}

/** @param {number} seconds @param {Say} say */
function minutes(seconds, say) {
  return say("minutes", { count: rounded(seconds / 60, 0) });
}

/** @param {string} code @param {string?} wrong @param {Say} say */
function piece(code, wrong, say) {
  const [look, shape] = wrong ? ["outside", "⊗"] : ["inside", "●"];
  return { code, class: look, words: `${shape} ${code} ${say(`plan-kit-${wrong || "good"}`)}` };
}

/** @param {Library} library @param {Vehicle} vehicle @param {string[]} names @param {Say} say */
function area(library, { outline }, names, say) {
  const found = areaNeeded(library, names);
  if (!found) return null;
  const inUnit = (/** @type {number} */ mm) => roomy(mm, library.unit);
  return say("plan-area-text", {
    length: inUnit(found.ahead_mm + found.behind_mm + outline.length),
    width: inUnit(2 * found.each_side_mm + outline.width),
    ahead: inUnit(found.ahead_mm),
    behind: inUnit(found.behind_mm),
    side: inUnit(found.each_side_mm),
    unit: roomyUnit(library.unit),
  });
}
