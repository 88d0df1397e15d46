/** What a measure step asks for, with the vehicle's own figures in place of references to them. */

import { centre, interval, number, sourceOf } from "../figures.js";
import { fsum } from "../measure/fraction.js";

/** @import { Figures } from "../types.js" */
/** @typedef {Record<string, any>} Place */

/** @type {Record<string, string>} */
const UNITS = {
  along: "mm_per_m",
  across: "mm_per_m",
  residual: "mm",
  distance: "mm",
  offset: "mm",
  yaw: "deg",
  thrust: "deg",
};

/**
 * `spots` are the places of the job's targets, which a floor survey gives the heights of, `places` those of this
 * calibration; `outline` is the vehicle's.
 * @param {Record<string, any>} measure @param {Figures} figures @param {Place[]} spots @param {Place[]} places
 * @param {Record<string, number>?} outline
 * @returns {Record<string, any>}
 */
export function measureOf(measure, figures, spots, places, outline) {
  if (measure.method === "values") {
    const readings = measure.readings.map((/** @type {any} */ one) => ({
      ...reading(one, figures),
      ...aboveOf(one, places),
    }));
    return { method: "values", readings, compare: compare(measure, figures) };
  }
  /** @type {Record<string, any>} */
  const limits = {};
  /** @type {Record<string, any>} */
  const from = {};
  for (const [name, given] of Object.entries(measure.limits)) {
    limits[`${name}_${UNITS[name]}`] = interval(given, name, figures);
    from[`${name}_${UNITS[name]}`] = sourceOf(given, name, figures);
  }
  const made = { method: measure.method, u_mm: measure.u ?? 1, limits, from };
  if (measure.method === "floor") {
    const contacts = measure.contacts && outline ? { contacts: contactsOf(outline) } : {};
    return { ...made, points: pointsOf(measure), spots, ...contacts };
  }
  if (measure.method !== "square") return made;
  const aim = ["distance", "offset", "yaw"].map((name) => [
    `${name}_${UNITS[name]}`,
    centre(measure.limits[name] ?? null, name, figures),
  ]);
  const [track_mm, bar_mm] = [number(measure.track, "track", figures), number(measure.bar, "bar", figures)];
  // Said only where it is the rear, so that the name of a sheet without it stays as it was.
  const hubs = measure.hubs === "rear" ? { hubs: "rear" } : {};
  return { ...made, track_mm, bar_mm, target: Object.fromEntries(aim), ...hubs };
}

/** @param {Record<string, any>} measure */
export function pointsOf(measure) {
  return measure.points.map((/** @type {any} */ { name, label, x, y }) => ({ name, label, x_mm: x, y_mm: y }));
}

/**
 * Where the four tyres touch the floor.
 * @param {Record<string, number>} outline
 */
export function contactsOf(outline) {
  return ["front", "rear"].flatMap((axle) =>
    ["left", "right"].map((side) => ({
      name: `tyre-${axle}-${side}`,
      x_mm: axle === "front" ? 0 : -outline.wheelbase_mm,
      y_mm: ((side === "left" ? 1 : -1) * outline[`track_${axle}_mm`]) / 2,
    })),
  );
}

/** Instead of a spot: the middle of all that this calibration places, where a stand's own scale stands. */
const STAND = "stand";

/**
 * The places that a floor survey gives the heights of: each target's, and the middle of those that stand together.
 * @param {Place[][]} groups
 * @returns {Place[]}
 */
export function spotsOf(groups) {
  const placed = groups.flat().map(({ x_mm, y_mm, spot_name }) => ({ x_mm, y_mm, name: spot_name }));
  const together = groups.filter((group) => group.length > 1);
  return [...placed, ...together.map((group) => ({ ...middleOf(group), name: STAND }))];
}

/** @param {Place[]} places */
function middleOf(places) {
  const [x_mm, y_mm] = ["x_mm", "y_mm"].map((name) => fsum(places.map((one) => one[name])) / places.length);
  return { x_mm, y_mm };
}

/**
 * Where the floor is that the height is read from; nothing where this vehicle's spec places nothing there.
 * @param {Record<string, any>} one @param {Place[]} places
 */
function aboveOf({ above }, places) {
  const found = places.filter((place) => above === STAND || above === place.spot);
  return found.length ? { above: middleOf(found) } : {};
}

/** @param {Record<string, any>} one @param {Figures} figures */
function reading({ name, label, unit, limits, instrument, u, between_hubs }, figures) {
  const [low, high] = interval(limits, name, figures);
  const from = sourceOf(limits, name, figures);
  const hubs = between_hubs ? { hubs: between_hubs } : {};
  return { name: key(name), label, unit, low, high, instrument, u, from, ...hubs };
}

/** @param {Record<string, any>} measure @param {Figures} figures */
function compare(measure, figures) {
  const units = new Map(measure.readings.map((/** @type {any} */ one) => [one.name, one.unit]));
  return measure.compare.map((/** @type {any} */ { label, of, limits }) => {
    const [low, high] = interval(limits, of[0], figures);
    const from = sourceOf(limits, of[0], figures);
    return { label, of: of.map(key), low, high, unit: units.get(of[0]), from };
  });
}

/** @param {string} name */
function key(name) {
  return name.replaceAll("-", "_");
}
