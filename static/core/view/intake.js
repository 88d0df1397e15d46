/** The VIN, read back in groups; then what the vehicle is and why it is here. */

import { bays } from "../kit.js";
import { vehiclesFor } from "../plan.js";
import { REASONS } from "../procedure.js";
import { groups } from "../vin.js";

/** @import { Facts } from "../intake.js" */
/** @import { Kit } from "../kit.js" */
/** @import { Vin } from "../vin.js" */
/** @import { Library, Say, Vehicle, View } from "../types.js" */

/**
 * A VIN is asked for; or one that may have been misread is to be compared with the vehicle.
 * @param {Say} say @param {string?} [error] @param {string} [text] @param {Vin?} [confirm]
 * @returns {View}
 */
export function newView(say, error = null, text = "", confirm = null) {
  if (!confirm) return { new: { error, text, confirm: null } };
  const why = confirm.check_digit === "mismatch" ? say("new-confirm-mismatch") : say("new-confirm-unsure");
  const compared = { vin: confirm.text, groups: groups(confirm.text).join(" "), why };
  return { new: { error: null, text: "", confirm: compared } };
}

/**
 * `values` are what stands in the fields, known or typed; `others` are other jobs on the same VIN.
 * @param {Library} library @param {Facts} facts @param {Record<string, any>} values @param {Kit} kit @param {Say} say
 * @param {Facts[]} [others] @param {string[]} [cleaned] @param {{message: string, field: string}?} [error]
 * @returns {View}
 */
export function intakeView(library, facts, values, kit, say, others = [], cleaned = [], error = null) {
  const fitting = vehiclesFor(library, facts.vin);
  const models = [...fitting, ...[...library.vehicles.values()].filter((one) => !fitting.includes(one))];
  // Where the model was unchosen, what was typed below it still stands on the page, under the questions it answers.
  const vehicle = library.vehicles.get(values.vehicle || values.asked || "");
  return {
    intake: {
      url: `/jobs/${facts.id}`,
      groups: groups(facts.vin),
      cleaned: cleaned.map((one) => say(`cleaned-${one}`)),
      others: others.map(({ id, repair_order }) => ({
        url: `/jobs/${id}`,
        order: repair_order || say("today-no-order"),
      })),
      error: error?.message ?? null,
      models: models.map((one) => model(one, fitting.includes(one), values, say)),
      fits: fitting.length > 0,
      wrong: error?.field ? { [error.field]: true } : {},
      vehicle: vehicle ? asked(vehicle, values, kit, say) : null,
    },
  };
}

/** @param {Vehicle} vehicle @param {boolean} fits @param {Record<string, any>} values @param {Say} say */
function model({ vehicle: name, maker, model: called, years }, fits, values, say) {
  const words = `${maker} ${called} (${years})`;
  return { name, words: fits ? `${words} – ${say("intake-matches")}` : words, chosen: values.vehicle === name };
}

/**
 * What this model asks, and what every job asks.
 * @param {Vehicle} vehicle @param {Record<string, any>} values @param {Kit} kit @param {Say} say
 */
function asked(vehicle, values, kit, say) {
  const { reasons = [], qualifiers = {} } = values;
  return {
    name: vehicle.vehicle,
    questions: vehicle.qualifiers.map((/** @type {any} */ { name, ask, options }) => ({
      name,
      ask,
      options: options.map((/** @type {any} */ { value, label }) => ({
        value,
        label,
        chosen: qualifiers[name] === value,
      })),
    })),
    bays: bays(kit).map(([code, name]) => ({ code, name, chosen: values.bay === code })),
    reasons: REASONS.map((name) => ({ name, words: say(`reason-${name}`), chosen: reasons.includes(name) })),
    repair_order: values.repair_order || "",
    odometer_km: values.odometer_km || "",
    lamps: values.lamps || "",
    codes: values.codes || "",
  };
}
