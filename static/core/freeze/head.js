/** What a sheet says before its steps: the vehicle, the calibrations, the sections, and where the targets stand. */

import { procedureOf } from "../plan.js";

/** @import { Library, Procedure, Proposal, Vehicle } from "../types.js" */

/** @param {Vehicle} vehicle */
export function vehicleOf({ vehicle: id, maker, model, revision, outline }) {
  const measured = Object.entries(outline).map(([field, value]) => [`${field}_mm`, value]);
  return { id, maker, model, revision, outline: Object.fromEntries(measured) };
}

/**
 * Of a shop's own vehicle, who approved its figures; nothing of one that ships with the library.
 * @param {Library} library @param {Vehicle} vehicle
 */
export function approved({ approvals }, { vehicle }) {
  return Object.hasOwn(approvals, vehicle) ? { approved: approvals[vehicle] } : {};
}

/** @param {Library} library @param {Vehicle} vehicle @param {any} planned a Proposal */
export function calibrationOf(library, vehicle, { procedure: id, because, added }) {
  const { title, sensor, mode, revision } = procedureOf(library, id);
  const { revision: spec_revision, source, reference } = vehicle.specs[id];
  return { id, title, sensor, mode, because, added, procedure_revision: revision, spec_revision, source, reference };
}

/** @param {Library} library @param {Procedure} one @param {string[]} calibrations */
export function sectionOf(library, one, calibrations) {
  const { procedure: id, title, sort, revision } = one;
  return { id, title, sort, revision, calibrations: served(library, one, calibrations) };
}

/** @param {Library} library @param {Procedure} one @param {string[]} calibrations */
function served(library, one, calibrations) {
  if (one.sort === "calibration") return [one.procedure];
  if (one.sort !== "set-up") return calibrations;
  return calibrations.filter((name) => procedureOf(library, name).set_up.includes(one.procedure));
}

/**
 * @param {Library} library @param {Record<string, any>[]} placements
 * @returns {Record<string, any>[]}
 */
export function placementsOf(library, placements) {
  return placements.map(({ target, spot, x, y, height, yaw }) => {
    const { size } = library.catalogue.targets[target];
    const whole = size.width !== undefined && size.height !== undefined;
    const size_mm = whole ? [size.width, size.height] : null;
    return { ...pairOf(library, target, spot), x_mm: x, y_mm: y, height_mm: height, yaw_deg: yaw, size_mm };
  });
}

/** @param {Library} library @param {string?} target @param {string?} spot */
export function pairOf({ catalogue }, target, spot) {
  const target_name = target === null ? null : catalogue.targets[target].name;
  const spot_name = spot === null ? null : catalogue.spots[spot].name;
  return { target, target_name, spot, spot_name };
}
