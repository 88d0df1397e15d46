/**
 * The shelf: what a phone needs of the library to plan and freeze a job alone. webapp/core/shelf.py makes it.
 *
 * Quantities are numbers in their base unit, and a figure that is a text refers to the vehicle's spec. Procedures and
 * vehicles are lists, since their order counts and a JSON object has none.
 */

/** @import { Library } from "./types.js" */

export const FORMAT = 1;

/**
 * The shelf's library, its procedures and vehicles by name, in their order.
 * @param {Record<string, any>} shelf
 * @returns {Library}
 */
export function libraryOf({ catalogue, procedures, vehicles, drawings, approvals = {}, unit }) {
  return {
    catalogue,
    procedures: new Map(procedures.map((/** @type {any} */ one) => [one.procedure, one])),
    vehicles: new Map(vehicles.map((/** @type {any} */ one) => [one.vehicle, one])),
    drawings,
    approvals,
    unit,
  };
}
