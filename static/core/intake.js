/**
 * Intake: what has to be known of a job before it can be planned, taken from a form.
 *
 * A job that is being planned is plain facts, the same on the server and on a phone; webapp/core/intake.py names them.
 * A form is an object of texts, but for `reasons`, which is a list of them.
 */

import { BadInput, shown } from "./errors.js";
import { bays } from "./kit.js";
import { Range, read } from "./measure/reading.js";
import { number } from "./numbers.js";
import { vehiclesFor } from "./plan.js";
import { REASONS } from "./procedure.js";
import { lengthOf, strip } from "./text.js";

/** @import { Kit } from "./kit.js" */
/** @import { Library, Vehicle } from "./types.js" */

/** @typedef {Record<string, any>} Facts */
/** @typedef {Record<string, any>} Form */

export const ODOMETER_KM = new Range("km", 0, 5_000_000);
/** @type {Record<string, number>} */
const LONGEST = { repair_order: 40, lamps: 500, codes: 500 };
/** What the sheet says of the job itself. */
const ABOUT = ["id", "sort", "repair_order", "vin", "odometer_km", "reasons", "qualifiers", "lamps", "codes", "bay"];

/**
 * A job that is known by its VIN alone; its model too, where only one fits.
 * @param {Library} library @param {string} job @param {string} vin
 * @returns {Facts}
 */
export function newFacts(library, job, vin) {
  const fitting = vehiclesFor(library, vin);
  return { ...nothing(job, "calibration"), vin, vehicle: fitting.length === 1 ? fitting[0].vehicle : null };
}

/**
 * The day's equipment check, which has no vehicle.
 * @param {string} job
 * @returns {Facts}
 */
export function dayFacts(job) {
  return nothing(job, "day");
}

/** @param {string} id @param {string} sort @returns {Facts} */
function nothing(id, sort) {
  const empty = { repair_order: "", vin: "", vehicle: null, odometer_km: null, lamps: "", codes: "", bay: null };
  return { id, sort, ...empty, reasons: [], qualifiers: {}, plan: { added: {}, struck: {} } };
}

/**
 * The sheet's own `job` object; `kit` has the plan of its bay, which its drawings show.
 * @param {Facts} facts @param {Kit} [kit]
 */
export function sheetJob(facts, kit = {}) {
  const { name, plan } = kit[facts.bay ?? ""] ?? {};
  const job = Object.fromEntries(ABOUT.map((one) => [one, facts[one]]));
  return plan ? { ...job, floor_plan: { name, ...plan } } : job;
}

/**
 * The facts after what was typed. Throws BadInput, and then nothing of it is taken. With `go` = `plan` the job has to
 * be complete as well.
 * @param {Library} library @param {Facts} facts @param {Form} form @param {Kit} kit
 * @returns {Facts}
 */
export function take(library, facts, form, kit) {
  const vehicle = library.vehicles.get(form.vehicle ?? "");
  if (!vehicle) throw noVehicle();
  const texts = Object.entries(LONGEST).map(([name, longest]) => [name, text(form, name, longest)]);
  const after = {
    ...facts,
    ...Object.fromEntries(texts),
    vehicle: vehicle.vehicle,
    odometer_km: strip(form.odometer_km ?? "") ? read(form.odometer_km, "odometer_km", ODOMETER_KM) : null,
    reasons: REASONS.filter((one) => (form.reasons ?? []).includes(one)),
    // The answers to another model's questions say nothing about this one.
    qualifiers: vehicle.vehicle === form.asked ? qualifiers(vehicle, form) : {},
    bay: bay(form, kit),
  };
  if (form.go === "plan") requireComplete(library, after);
  return after;
}

/**
 * Throw BadInput naming the first thing that has to be known before the job can be planned.
 * @param {Library} library @param {Facts} facts
 */
export function requireComplete(library, facts) {
  const vehicle = library.vehicles.get(facts.vehicle ?? "");
  if (!vehicle) throw noVehicle();
  if (!facts.repair_order) {
    throw new BadInput("order-missing", "repair_order", "repair_order is empty; type the number of the repair order");
  }
  if (facts.odometer_km === null) {
    throw new BadInput("missing", "odometer_km", "odometer_km is missing: give a number in km");
  }
  if (!facts.reasons.length) {
    throw new BadInput("reasons-missing", "reasons", "reasons: none is ticked; tick why the vehicle is here");
  }
  for (const { name, ask } of vehicle.qualifiers) {
    if (Object.hasOwn(facts.qualifiers, name)) continue;
    throw new BadInput("qualifier-missing", `q-${name}`, `${name} is not answered; ${ask}`);
  }
}

/**
 * The facts as they stand in the form's fields.
 * @param {Facts} facts
 */
export function known(facts) {
  const { odometer_km } = facts;
  return { ...facts, odometer_km: odometer_km === null ? "" : number(odometer_km) };
}

/**
 * What was typed, as it stands in the form's fields once more.
 * @param {Form} form
 */
export function typed(form) {
  const asked = Object.entries(form).filter(([name]) => name.startsWith("q-"));
  const qualifiers = Object.fromEntries(asked.map(([name, value]) => [name.slice(2), value]));
  return { ...form, reasons: form.reasons ?? [], qualifiers };
}

function noVehicle() {
  return new BadInput("vehicle-missing", "vehicle", "vehicle is not chosen; choose the model from the list");
}

/** @param {Form} form @param {string} name @param {number} longest */
function text(form, name, longest) {
  const given = strip(form[name] ?? "");
  const length = lengthOf(given);
  if (length <= longest) return given;
  throw new BadInput("text-too-long", name, `${name} has ${length} characters; at most ${longest} are kept`);
}

/** @param {Vehicle} vehicle @param {Form} form */
function qualifiers(vehicle, form) {
  /** @type {Record<string, string>} */
  const given = {};
  for (const { name, options } of vehicle.qualifiers) {
    const value = form[`q-${name}`] ?? "";
    const values = options.map((/** @type {any} */ option) => option.value);
    if (value && !values.includes(value)) {
      const message = `${name}=${shown(value)} is none of ${values.join(", ")}`;
      throw new BadInput("qualifier-unknown", `q-${name}`, message);
    }
    if (value) given[name] = value;
  }
  return given;
}

/** @param {Form} form @param {Kit} kit @returns {string?} */
function bay(form, kit) {
  const code = form.bay ?? "";
  if (code && !bays(kit).some(([one]) => one === code)) {
    const message = `bay=${shown(code)} is none of the shop's bays; choose one of the list`;
    throw new BadInput("bay-unknown", "bay", message);
  }
  return code || null;
}
