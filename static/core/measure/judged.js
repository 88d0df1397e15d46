/**
 * A measure step's readings against its limits: which fields it has, what they give, and the verdict on the whole.
 *
 * `judge` returns {method, verdict, parts} and what the method itself found; each part has name, label, unit, value, U,
 * low, high and verdict. The verdict is the worst of the parts: outside before too close to call before inside; without
 * limits it is `recorded`, and four tapes that do not fit together are `does-not-fit`.
 */

import { rounded } from "../numbers.js";
import { advise, squareWithRepeats } from "./advice.js";
import { referenceAxis, TOE_DEG } from "./axis.js";
import { decide, repeatsToSettle } from "./decide.js";
import { BAY_MM, HEIGHT_MM, largestResidualMm, surveyFloor } from "./floor.js";
import { Fraction } from "./fraction.js";
import { standHeight } from "./height.js";
import { combined, INSTRUMENTS, instrumentOf, repeated } from "./instruments.js";
import { oddOne } from "./outlier.js";
import { Range, read, readExact } from "./reading.js";
import { squareStand, TAPE_MM, TAPE_NAMES } from "./square.js";
import { widening } from "./student.js";
import { WORST_FIRST } from "./verdicts.js";

/**
 * @typedef {Record<string, any>} Measure a step's `measure`
 * @typedef {Record<string, number>} Readings
 * @typedef {Record<string, any>} Found
 * @typedef {number | null} Limit
 */

/** The methods of which several readings of the same thing make one better one. */
export const REPEATABLE = ["values", "square"];

/** What can be physically true, by unit; a method with narrower bounds has its own. */
const PHYSICAL = new Map(
  [
    new Range("mm", -30_000, 30_000),
    new Range("deg", -180, 180),
    new Range("kPa", 0, 1_200),
    new Range("mm/m", -200, 200),
    new Range("lx", 0, 200_000),
    new Range("V", 0, 1_000),
    new Range("degC", -60, 120),
    new Range("%", 0, 100),
    new Range("km", 0, 5_000_000),
    new Range("kg", 0, 10_000),
    new Range("s", 0, 86_400),
    new Range("km/h", 0, 400),
  ].map((range) => [range.unit, range]),
);
const TAPED_MM = new Range("mm", 0, 30_000);
const ANY = new Range("", -1e9, 1e9);
const ZERO = new Fraction(0n);
const AXIS_POINTS = ["front_left", "front_right", "rear_left", "rear_right"];

/** @param {Found} one */
function physical({ unit, instrument }) {
  return unit === "mm" && instrument === "tape" ? TAPED_MM : PHYSICAL.get(unit);
}

/**
 * The readings to take, in order: name, label or "" where the name says it, unit and physical range.
 * @param {Measure} measure
 * @returns {[string, string, Range][]}
 */
export function fields(measure) {
  if (measure.method === "values") {
    return measure.readings.map((/** @type {Found} */ one) => [one.name, one.label, physical(one)]);
  }
  if (measure.method === "floor") {
    const read = [...measure.points, ...(measure.contacts ?? [])];
    return read.map((/** @type {Found} */ { name, label = "" }) => [snake(name), label, HEIGHT_MM]);
  }
  if (measure.method === "square") return TAPE_NAMES.map((name) => [name, "", TAPE_MM]);
  const points = AXIS_POINTS.flatMap((name) => [`${name}_x`, `${name}_y`]);
  return [
    ...points.map((name) => /** @type {[string, string, Range]} */ ([name, "", BAY_MM])),
    ["toe_left", "", TOE_DEG],
    ["toe_right", "", TOE_DEG],
  ];
}

/**
 * Every reading as a number in its unit. Throws BadInput naming the first field that cannot be used.
 * @param {Measure} measure @param {Record<string, string>} given
 * @returns {Readings}
 */
export function readAll(measure, given) {
  return Object.fromEntries(
    fields(measure).map(([name, , allowed]) => [
      name,
      read(Object.hasOwn(given, name) ? given[name] : "", name, allowed, measure.unit),
    ]),
  );
}

/**
 * The verdict on the last set of readings; earlier ones are its repeats.
 * @param {Measure} measure @param {Readings[]} sets
 * @returns {Found}
 */
export function judge(measure, sets) {
  const found = METHODS[measure.method](measure, sets);
  const verdicts = found.parts.map((/** @type {Found} */ part) => part.verdict);
  const verdict = WORST_FIRST.find((one) => verdicts.includes(one)) ?? "recorded";
  return { method: measure.method, sets: sets.length, verdict, ...found };
}

/**
 * One figure against its limits; `repeats` is the instrument's own u and the scatter s, where both are known.
 * @param {{name: string, label?: string, unit: string}} of @param {number} value @param {number} u
 * @param {Limit[]} limits @param {[number, number]?} repeats
 * @returns {Found}
 */
function partOf({ name, label = "", unit }, value, u, [low, high] = [null, null], repeats = null) {
  /** @type {Found} */
  const part = { name, label, unit, value, U: 2 * u, low, high, verdict: "recorded" };
  if (low === null && high === null) return part;
  const [exact, exactU, exactLow, exactHigh] = [value, u, low, high].map((one) =>
    one === null ? null : readExact(one, name, ANY),
  );
  const { verdict, p_inside } = decide(exact ?? ZERO, exactU ?? ZERO, exactLow, exactHigh);
  Object.assign(part, { verdict, p_inside });
  if (verdict === "too-close-to-call" && repeats !== null) {
    // The instrument's part alone: in `u` the scatter is in already, as far as the readings so far have averaged it.
    part.repeats = repeatsToSettle(exact ?? ZERO, ...repeats, exactLow, exactHigh);
  }
  return part;
}

/**
 * The shop's own instrument comes first, then what the procedure says, then the usual figures of its kind.
 * @param {Found} one @param {number} value
 */
function instrumentU({ by, u, instrument }, value) {
  if (by) return instrumentOf(instrument, by.accuracy).u(value);
  if (u !== null) return u;
  const kind = instrument === "tape" ? "tape-class-ii" : instrument;
  // Without an instrument named, the last digit that a person reads off is all that is known: half a unit either way.
  return INSTRUMENTS.get(kind)?.u(value) ?? 0.5 / Math.sqrt(3);
}

/** @param {Measure} measure @param {Readings[]} sets */
function valuesFound(measure, sets) {
  /** @type {Map<string, {uB: number, odd: number?}>} */
  const known = new Map();
  const parts = measure.readings.map((/** @type {Found} */ one) => {
    const series = sets.map((readings) => readings[one.name]);
    const own = instrumentU(one, series[series.length - 1]);
    const uB = one.floor ? combined([own, one.floor.u_mm]) : own;
    const odd = oddOne(series, uB);
    known.set(one.name, { uB, odd });
    const kept = series.filter((_value, place) => place !== odd);
    const part = meanPart(one, one.name, kept, uB);
    if (odd !== null) Object.assign(part, { left_out: series[odd], left_out_no: odd + 1 });
    if (one.floor) part.floor = one.floor;
    return one.by ? { ...part, by: named(one.by) } : part;
  });
  for (const one of measure.compare) {
    const [first, second] = one.of;
    const both = one.of.map((/** @type {string} */ name) => known.get(name));
    // Set by set, so that what shifts both readings of a set alike shifts their difference not at all.
    const kept = sets
      .filter((_readings, place) => both.every((/** @type {Found} */ { odd }) => odd !== place))
      .map((readings) => rounded(readings[first] - readings[second], 9));
    parts.push(meanPart(one, one.of.join("-"), kept, combined(both.map((/** @type {Found} */ { uB }) => uB))));
  }
  return { parts };
}

/**
 * The mean of repeats against its limits: u from the instrument (type B) and from the repeats (type A, s/√n).
 * @param {Found} one @param {string} name @param {number[]} series @param {number} uB
 */
function meanPart({ label, unit, low, high }, name, series, uB) {
  const of = { name, label, unit };
  if (series.length < 2) return partOf(of, series[0], uB, [low, high]);
  const { mean, s, u, count: n } = repeated(series);
  const part = partOf(of, mean, combined([uB, u * widening(n - 1)]), [low, high], [uB, s]);
  return { ...part, n, s };
}

/** @param {Measure} measure @param {Readings[]} sets */
function floorFound(measure, sets) {
  const readings = sets[sets.length - 1];
  const read = (/** @type {Found} */ { name, x_mm, y_mm }) => ({ x_mm, y_mm, height_mm: readings[snake(name)] });
  const points = measure.points.map(read);
  const contacts = (measure.contacts ?? []).map(read);
  const survey = surveyFloor(points, measure.spots, measure.u_mm);
  const { plane, rms_mm, residuals_mm, s_mm: s } = survey;
  const { limits, u_mm } = measure;
  /** @type {[string, string, number, number][]} */
  const slopes = [
    ["along_mm_per_m", "mm/m", plane.along_mm_per_m, 1000 * s * Math.sqrt(plane.spread[0])],
    ["across_mm_per_m", "mm/m", plane.across_mm_per_m, 1000 * s * Math.sqrt(plane.spread[2])],
    ["residual_mm", "mm", largestResidualMm(survey), u_mm],
  ];
  return {
    parts: slopes.map(([name, unit, value, u]) => partOf({ name, unit }, value, u, limits[name])),
    a_mm: plane.a_mm,
    rms_mm,
    residuals_mm,
    spots: survey.spots.map((height, index) => {
      const { name, x_mm, y_mm } = measure.spots[index];
      const fall = contacts.length ? fallAt(contacts, measure.spots[index], height, u_mm) : {};
      return { name, x_mm, y_mm, ...height, ...fall };
    }),
  };
}

/**
 * How far the floor at a spot lies below the plane that the tyres stand on.
 * @param {import("./floor.js").FloorPoint[]} contacts @param {import("./floor.js").Spot} spot
 * @param {import("./floor.js").SpotHeight} floor @param {number} uMm
 */
function fallAt(contacts, spot, floor, uMm) {
  const { fall_mm, u_mm } = standHeight(0, contacts, spot, floor, uMm);
  return { fall_mm, u_fall_mm: u_mm };
}

/** @param {Measure} measure @param {Readings[]} sets */
function squareFound(measure, sets) {
  const { track_mm, bar_mm, hubs, target, limits, by } = measure;
  const series = /** @type {import("./square.js").Tapes[]} */ (/** @type {unknown} */ (sets));
  const u = tapesU(measure, series[0]);
  const [found, odd] =
    series.length > 1
      ? squareWithRepeats(track_mm, bar_mm, series[0], u, series.slice(1), hubs)
      : [squareStand(track_mm, bar_mm, series[0], u, hubs), null];
  const { fits, misfit, pose, u: spread } = found;
  const advice = advise(track_mm, bar_mm, found, target, hubs);
  const doubt = {
    ...(measure.track_measured ? { track_mm } : {}),
    ...(odd ? { odd_one_out: odd.tape, odd_reason: odd.reason } : {}),
  };
  if (pose === null || spread === null) return { parts: [], fits, misfit, advice, ...doubt, verdict: "does-not-fit" };
  /** @type {[keyof typeof pose, string][]} */
  const figures = [
    ["distance_mm", "mm"],
    ["offset_mm", "mm"],
    ["yaw_deg", "deg"],
  ];
  const parts = figures.map(([name, unit]) => {
    const part = partOf({ name, unit }, pose[name], spread[name], limits[name]);
    return by ? { ...part, by: named(by) } : part;
  });
  return { parts, fits, misfit, advice, ...doubt, pose, u: spread };
}

/**
 * How sure each of the four is: by the shop's own tape, which is the less sure the longer it is drawn.
 * @param {Measure} measure @param {import("./square.js").Tapes} read
 */
function tapesU({ by, u_mm }, read) {
  const u = (/** @type {number} */ length) => (by ? instrumentOf("tape", by.accuracy).u(length) : u_mm);
  return {
    left_left: u(read.left_left),
    right_right: u(read.right_right),
    left_right: u(read.left_right),
    right_left: u(read.right_left),
  };
}

/** @param {Found} by */
function named({ code, name, due }) {
  return { code, name, due };
}

/** @param {Measure} measure @param {Readings[]} sets */
function axisFound(measure, sets) {
  const readings = sets[sets.length - 1];
  const [frontLeft, frontRight, rearLeft, rearRight] = AXIS_POINTS.map((name) => {
    return { x_mm: readings[`${name}_x`], y_mm: readings[`${name}_y`] };
  });
  const axis = referenceAxis(
    { left: frontLeft, right: frontRight },
    { left: rearLeft, right: rearRight },
    { left_deg: readings.toe_left, right_deg: readings.toe_right },
  );
  // Half of the difference of two toe readings, each good to 0.05 degrees on an alignment bench.
  const uThrust = 0.05 / Math.sqrt(3) / Math.sqrt(2);
  return {
    parts: [partOf({ name: "thrust_deg", unit: "deg" }, axis.thrust_deg ?? 0, uThrust, measure.limits.thrust_deg)],
    centreline_deg: axis.centreline_deg,
    thrust_line_deg: axis.thrust_line_deg,
    origin: axis.origin,
  };
}

/** @param {string} name */
function snake(name) {
  return name.replaceAll("-", "_");
}

/** @type {Record<string, (measure: Measure, sets: Readings[]) => Found>} */
const METHODS = { values: valuesFound, floor: floorFound, square: squareFound, axis: axisFound };
