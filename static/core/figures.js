/** Turning what a procedure asks for into numbers: literal quantities, or the vehicle's own figures. */

import { BadInput } from "./errors.js";
import { rounded } from "./numbers.js";

/** @import { Figures, Vehicle } from "./types.js" */

/**
 * The figures a procedure may ask for: the vehicle's, as its qualifiers have them, under those of its spec.
 * @param {Vehicle?} vehicle @param {string} procedure @param {Record<string, string>} qualifiers
 * @returns {Figures}
 */
export function figuresOf(vehicle, procedure, qualifiers) {
  if (vehicle === null) return new Map();
  const spec = vehicle.specs[procedure];
  const own = cited({ ...vehicle.figures, ...varied(vehicle, qualifiers) }, vehicle);
  return new Map([...own, ...(spec ? cited(spec.figures, spec) : [])]);
}

/**
 * Each figure with where it comes from: its own source, or that of the vehicle or the spec it is in.
 * @param {Record<string, any>} figures @param {any} by
 * @returns {[string, any][]}
 */
function cited(figures, { source, revision }) {
  return Object.entries(figures).map(([name, one]) => [name, one.source ? one : { ...one, source, revision }]);
}

/**
 * Where limits come from: the source and its revision; null where the procedure itself states them.
 * @param {Record<string, any> | string | null} limits @param {string} name @param {Figures} figures
 */
export function sourceOf(limits, name, figures) {
  if (typeof limits !== "string") return null;
  const { source, revision } = named(limits, name, figures);
  return { source, revision };
}

/**
 * What the vehicle's variants put in place of its own figures. A question nobody answered changes nothing.
 * @param {Vehicle} vehicle @param {Record<string, string>} qualifiers
 */
function varied(vehicle, qualifiers) {
  const fitting = vehicle.variants.filter((/** @type {any} */ one) =>
    Object.entries(one.only_if).every(([name, values]) => [values].flat().includes(qualifiers[name])),
  );
  return Object.assign({}, ...fitting.map((/** @type {any} */ one) => one.figures));
}

/** @param {string} reference @param {string} name @param {Figures} figures */
function named(reference, name, figures) {
  const wanted = reference.replace(/^spec\.?/, "") || name;
  const found = figures.get(wanted);
  if (found) return found;
  const known = [...figures.keys()].sort().join(", ");
  const message = `${wanted} is not among the vehicle's figures; expected one of ${known}`;
  throw new BadInput("figure-missing", wanted, message);
}

/**
 * One number in its base unit; from a spec's figure the value, else the nominal.
 * @param {number | string | null} figure @param {string} name @param {Figures} figures
 * @returns {number?}
 */
export function number(figure, name, figures) {
  if (typeof figure !== "string") return figure;
  const found = named(figure, name, figures);
  return found.value ?? found.nominal;
}

/**
 * The limits [low, high] in base units; null where that side is open.
 * @param {Record<string, any> | string | null} limits @param {string} name @param {Figures} figures
 * @returns {[number?, number?]}
 */
export function interval(limits, name, figures) {
  if (limits === null) return [null, null];
  if (typeof limits === "string") return interval(named(limits, name, figures), name, figures);
  const [nominal, tolerance] = [number(limits.nominal, name, figures), number(limits.tolerance, name, figures)];
  const [low, high] = [number(limits.low, name, figures), number(limits.high, name, figures)];
  if (nominal === null || tolerance === null) return [low, high];
  // Rounded to a nanometre, so that 1500.1 - 0.3 does not read 1499.8000000000002 on the card.
  return [rounded(nominal - tolerance, 6), rounded(nominal + tolerance, 6)];
}

/**
 * Where to aim: the nominal, else the middle of the limits, else 0.
 * @param {Record<string, any> | string | null} limits @param {string} name @param {Figures} figures
 * @returns {number}
 */
export function centre(limits, name, figures) {
  const held = typeof limits === "string" ? named(limits, name, figures) : limits;
  const nominal = held ? number(held.nominal, name, figures) : null;
  if (nominal !== null) return nominal;
  const [low, high] = interval(limits, name, figures);
  return low === null || high === null ? 0 : (low + high) / 2;
}
