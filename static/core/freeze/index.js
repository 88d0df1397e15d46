/** Freezing a job: plan, procedures, the vehicle's figures and its qualifiers become the sheet. */

import { areaNeeded, workingOrder } from "../plan.js";
import { FORMAT } from "../sheet.js";
import { inUnit } from "./drawings.js";
import { approved, calibrationOf, placementsOf, sectionOf, vehicleOf } from "./head.js";
import { steps } from "./steps.js";

/** @import { Library, Procedure, Proposal, Sheet, Vehicle } from "../types.js" */

/**
 * Resolve a job's steps from its plan, the procedures, the vehicle's figures and its qualifiers.
 *
 * `job` is the sheet's own `job` object; `struck` maps calibrations that were called for and not planned to the reason.
 * The library is the shelf's, which brings the drawings. Throws BadInput where the order goes round in a circle or a
 * figure is missing, NotFound where the shelf lacks a drawing.
 * @param {Library} library @param {Record<string, any>} job @param {Vehicle?} vehicle @param {Proposal[]} plan
 * @param {Record<string, string>} struck
 * @returns {Sheet}
 */
export function makeSheet(library, job, vehicle, plan, struck) {
  const planned = new Map(plan.map((one) => [one.procedure, one]));
  const order = orderOf(library, job, [...planned.keys()]);
  const names = order.map((one) => one.procedure).filter((name) => planned.has(name));
  /** @type {Record<string, Record<string, any>[]>} */
  const placements = {};
  if (vehicle) for (const name of names) placements[name] = placementsOf(library, vehicle.specs[name].placements);
  const area = areaNeeded(library, names);
  const about = { library, vehicle, qualifiers: job.qualifiers, order, placements, area };
  return {
    format: FORMAT,
    job,
    vehicle: vehicle ? { ...vehicleOf(vehicle), ...approved(library, vehicle) } : null,
    calibrations: vehicle ? names.map((name) => calibrationOf(library, vehicle, planned.get(name))) : [],
    struck: [...library.procedures]
      .filter(([id]) => Object.hasOwn(struck, id))
      .map(([id, { title }]) => ({ id, title, why: struck[id] })),
    sections: order.map((one) => sectionOf(library, one, names)),
    ...inUnit(library),
    placements,
    area,
    steps: order.flatMap((one) => steps(about, one)),
  };
}

/** @param {Library} library @param {Record<string, any>} job @param {string[]} calibrations @returns {Procedure[]} */
function orderOf(library, job, calibrations) {
  if (job.sort !== "day") return workingOrder(library, calibrations);
  return [...library.procedures.values()].filter((one) => one.sort === "day");
}
