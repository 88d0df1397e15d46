/** Which calibrations a repair calls for, in which order, and what they need. */

import { BadInput, shown } from "./errors.js";
import { words } from "./kinds/common.js";
import { matches } from "./vin.js";

/** @import { Condition, Library, Procedure, Proposal, Vehicle } from "./types.js" */

/**
 * Where nothing else decides: set-up first, closing last; stored values are reset before anything is aimed by them, a
 * check that needs somebody inside waits until nothing is aimed any more, and static comes before dynamic (a camera
 * must be aimed before the road teaches it).
 */
export const SORTS = ["day", "set-up", "calibration", "closing"];
export const MODES = ["reset", "static", "check", "dynamic"];

/**
 * The models whose VIN pattern the VIN matches, in the library's order.
 * @param {Library} library @param {string} vin
 * @returns {Vehicle[]}
 */
export function vehiclesFor(library, vin) {
  const fits = (/** @type {string} */ pattern) => matches(pattern, vin);
  return [...library.vehicles.values()].filter((vehicle) => vehicle.vin.some(fits));
}

/**
 * The calibrations that these reasons call for and that the vehicle has a spec for.
 * @param {Library} library @param {Vehicle} vehicle @param {string[]} reasons
 * @returns {Proposal[]}
 */
export function propose(library, vehicle, reasons) {
  const due = [];
  for (const [name, procedure] of library.procedures) {
    const because = procedure.due_when.filter((/** @type {string} */ reason) => reasons.includes(reason));
    if (procedure.sort === "calibration" && because.length && Object.hasOwn(vehicle.specs, name)) {
      due.push({ procedure: name, because, added: null });
    }
  }
  return due;
}

/**
 * The plan after a person has added and struck calibrations, each with a reason.
 * @param {Proposal[]} proposals @param {Record<string, string>} added @param {Record<string, string>} struck
 * @returns {Proposal[]}
 */
export function decided(proposals, added, struck) {
  const kept = proposals.filter((one) => !Object.hasOwn(struck, one.procedure));
  const have = kept.map((one) => one.procedure);
  const more = Object.entries(added).filter(([name]) => !have.includes(name));
  return [...kept, ...more.map(([procedure, why]) => ({ procedure, because: [], added: why }))];
}

/**
 * The plan of a job as it stands: proposed, less what was struck, plus what was added (see intake.js).
 * @param {Library} library @param {Record<string, any>} facts
 */
export function planned(library, facts) {
  const vehicle = /** @type {Vehicle} */ (library.vehicles.get(facts.vehicle));
  // What was added may be gone since: with a release of head office, or with the shop's own figures.
  const added = Object.entries(facts.plan.added).filter(
    ([name]) => Object.hasOwn(vehicle.specs, name) && library.procedures.has(name),
  );
  return decided(propose(library, vehicle, facts.reasons), Object.fromEntries(added), facts.plan.struck);
}

/**
 * The plan after one calibration was added, struck or put back. Adding and striking need a reason. Throws BadInput:
 * `calibration-unknown`, `do-unknown`, or as `words` does.
 * @param {Vehicle} vehicle @param {Record<string, any>} plan @param {Record<string, string>} form
 */
export function changed(vehicle, plan, form) {
  const { calibration: name = "", do: what = "" } = form;
  const [added, struck] = [{ ...plan.added }, { ...plan.struck }];
  if (!Object.hasOwn(vehicle.specs, name)) {
    const message = `calibration=${shown(name)} has no spec for this vehicle`;
    throw new BadInput("calibration-unknown", "calibration", message);
  }
  if (what === "strike") {
    const why = words(form, "reason", "why this calibration is not done");
    if (Object.hasOwn(added, name)) delete added[name];
    else struck[name] = why;
  } else if (what === "add") {
    added[name] = words(form, "reason", "why this calibration is done as well");
    delete struck[name];
  } else if (what === "restore") {
    delete struck[name];
  } else {
    const message = `do=${shown(what)} is not an action here; expected strike, add or restore`;
    throw new BadInput("do-unknown", "do", message);
  }
  return { ...plan, added, struck };
}

/**
 * The procedures of a job in working order: shared set-up once, then the calibrations, then closing. Each waits for its
 * own set-up and for what its `after` names; so a set-up may come after a calibration (the axis is found once nothing
 * rolls the vehicle any more), and a calibration after a closing (the floor is cleared before the drive). Throws
 * BadInput `order-cycle` where the order goes round in a circle.
 * @param {Library} library @param {string[]} calibrations
 * @returns {Procedure[]}
 */
export function workingOrder(library, calibrations) {
  const wanted = new Set(calibrations);
  for (const name of calibrations) for (const other of procedureOf(library, name).set_up) wanted.add(other);
  for (const [name, one] of library.procedures) if (one.sort === "closing") wanted.add(name);
  const place = [...library.procedures.keys()];
  const left = [...wanted].map((name) => procedureOf(library, name));
  left.sort((one, other) => {
    const [a, b] = [rank(one, place), rank(other, place)];
    return a[0] - b[0] || a[1] - b[1] || a[2] - b[2];
  });
  const order = [];
  while (left.length) {
    const names = left.map((one) => one.procedure);
    const ready = left.findIndex((one) => ![...one.after, ...one.set_up].some((before) => names.includes(before)));
    if (ready < 0) {
      const message = `after=${names.join(" -> ")} goes round in a circle; remove one of them`;
      throw new BadInput("order-cycle", "after", message);
    }
    order.push(...left.splice(ready, 1));
  }
  return order;
}

/**
 * @param {Library} library @param {string} name
 * @returns {Procedure}
 */
export function procedureOf(library, name) {
  const found = library.procedures.get(name);
  if (!found) throw new Error(`the library has no procedure ${name}`);
  return found;
}

/** @param {Procedure} one @param {string[]} place */
function rank(one, place) {
  return [SORTS.indexOf(one.sort), MODES.indexOf(one.mode ?? "static"), place.indexOf(one.procedure)];
}

/**
 * Whether every part of the condition that is about a known answer is met.
 * @param {Condition} condition @param {Record<string, string>} known
 */
export function holds(condition, known) {
  return Object.entries(condition).every(
    ([name, values]) => !Object.hasOwn(known, name) || [values].flat().includes(known[name]),
  );
}

/**
 * Every target kind that has to be placed, with its spot and the calibration that asks for it.
 * @param {Vehicle} vehicle @param {string[]} calibrations
 */
export function kitNeeded(vehicle, calibrations) {
  return calibrations.flatMap((calibration) =>
    (vehicle.specs[calibration]?.placements ?? []).map((/** @type {any} */ { target, spot }) => ({
      target,
      spot,
      calibration,
    })),
  );
}

/**
 * The clear floor that serves all of them, in mm from the vehicle's outline, or null where none asks for any.
 * @param {Library} library @param {string[]} calibrations
 */
export function areaNeeded(library, calibrations) {
  const known = calibrations.map((name) => procedureOf(library, name).area).filter((area) => area !== null);
  if (!known.length) return null;
  const most = (/** @type {string} */ side) => Math.max(...known.map((area) => area[side]));
  return { ahead_mm: most("ahead"), behind_mm: most("behind"), each_side_mm: most("each_side") };
}

/**
 * What is usually answered: the first option of each choose step.
 * @param {Iterable<Procedure>} procedures
 * @returns {Record<string, string>}
 */
export function usualAnswers(procedures) {
  const asking = [...procedures].flatMap((one) => one.steps).filter((step) => step.options.length);
  return Object.fromEntries(asking.map((step) => [step.asks ?? step.id, step.options[0].value]));
}

/**
 * Whether a step is part of a job with these procedures. A shelf of before has no such conditions.
 * @param {Record<string, any>} step @param {string[]} order
 */
export function belongs({ when = [], unless = [] }, order) {
  const there = (/** @type {string} */ name) => order.includes(name);
  return (!when.length || when.some(there)) && !unless.some(there);
}

/**
 * The procedure's own figure for its duration, in seconds, with the qualifiers and usual answers that are known.
 *
 * A step that hangs on anything else is no part of the usual way. `order` has the procedures of the job, where it is
 * about one.
 * @param {Procedure} procedure @param {Record<string, string>} known @param {string[]} [order]
 * @returns {number}
 */
export function expectedS(procedure, known, order) {
  let sum = 0;
  for (const step of procedure.steps) {
    const settled = Object.keys(step.only_if).every((name) => Object.hasOwn(known, name));
    if (settled && holds(step.only_if, known) && (!order || belongs(step, order))) sum += step.expect;
  }
  return sum;
}
