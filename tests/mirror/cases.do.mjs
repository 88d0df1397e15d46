// What a case of tests/cases asks, put to the phone's rules: webapp/core/compute.py reads such an object for the server.
import { BadInput } from "../../static/core/errors.js";
import { advise, squareWithRepeats } from "../../static/core/measure/advice.js";
import { referenceAxis, TOE_DEG } from "../../static/core/measure/axis.js";
import { decide } from "../../static/core/measure/decide.js";
import { BAY_MM, FLOOR_U_MM, HEIGHT_MM, surveyFloor } from "../../static/core/measure/floor.js";
import { standHeight } from "../../static/core/measure/height.js";
import { judge } from "../../static/core/measure/judged.js";
import { Range, read, readExact } from "../../static/core/measure/reading.js";
import { squareStand, TAPE_MM, TAPE_NAMES } from "../../static/core/measure/square.js";
import { scanVerdict } from "../../static/core/scan.js";
import { readVin } from "../../static/core/vin.js";

const TRACK_MM = new Range("mm", 300, 4_000);
const BAR_MM = new Range("mm", 100, 5_000);
const TAPE_U_MM = new Range("mm", 0.001, 50);
const POSE = {
  distance_mm: new Range("mm", 100, 30_000),
  offset_mm: new Range("mm", -5_000, 5_000),
  yaw_deg: new Range("deg", -10, 10),
};
const ANY_VALUE = new Range("", -1_000_000_000, 1_000_000_000);
const ANY_U = new Range("", 1e-9, 1_000_000_000);

/** The numbers of an object, each within its range; a refusal names the whole path. */
function numbers(given, path, allowed) {
  const names = Object.keys(allowed);
  needs(given, path, names);
  return Object.fromEntries(names.map((name) => [name, read(given[name], at(path, name), allowed[name])]));
}

function needs(given, path, names) {
  const name = names.find((one) => !Object.hasOwn(given, one));
  if (name) throw new BadInput("missing", at(path, name), `${at(path, name)} is missing: give ${names.join(", ")}`);
}

function at(path, name) {
  return path ? `${path}.${name}` : name;
}

function all(names, allowed) {
  return Object.fromEntries(names.map((name) => [name, allowed]));
}

export function floorCase(given) {
  const point = { x_mm: BAY_MM, y_mm: BAY_MM };
  const points = given.points.map((one, index) => numbers(one, `points[${index}]`, { ...point, height_mm: HEIGHT_MM }));
  const spots = (given.spots ?? []).map((one, index) => numbers(one, `spots[${index}]`, point));
  const { u_mm } = numbers(given, "", { u_mm: FLOOR_U_MM });
  const { plane, residuals_mm, rms_mm, spots: heights } = surveyFloor(points, spots, u_mm);
  const { a_mm, along_mm_per_m, across_mm_per_m } = plane;
  return { a_mm, along_mm_per_m, across_mm_per_m, residuals_mm, rms_mm, spots: heights };
}

export function squareCase(given) {
  const { track_mm, bar_mm } = numbers(given, "", { track_mm: TRACK_MM, bar_mm: BAR_MM });
  const { hubs } = given;
  const tapes = numbers(given.tapes_mm, "tapes_mm", all(TAPE_NAMES, TAPE_MM));
  const four = typeof given.u_mm === "object" ? given.u_mm : null;
  const u = four
    ? numbers(four, "u_mm", all(TAPE_NAMES, TAPE_U_MM))
    : all(TAPE_NAMES, read(given.u_mm, "u_mm", TAPE_U_MM));
  const repeats = (given.repeats ?? []).map((one, index) =>
    numbers(one, `repeats[${index}]`, all(TAPE_NAMES, TAPE_MM)),
  );
  const target = given.target ? numbers(given.target, "target", POSE) : null;
  const [found, out] = repeats.length
    ? squareWithRepeats(track_mm, bar_mm, tapes, u, repeats, hubs)
    : [squareStand(track_mm, bar_mm, tapes, u, hubs)];
  const odd = out ? { odd_one_out: out.tape, odd_one_out_reason: out.reason } : {};
  const pose = found.pose ? { ...found.pose, u: found.u } : {};
  const advice = advise(track_mm, bar_mm, found, target, hubs);
  return { fits: found.fits, ...pose, misfit: found.misfit, ...odd, advice };
}

export function axisCase(given) {
  needs(given, "", ["front", "rear"]);
  const toe = given.toe_deg ? numbers(given.toe_deg, "toe_deg", { left: TOE_DEG, right: TOE_DEG }) : null;
  const [front, rear] = ["front", "rear"].map((name) => {
    const sides = ["left", "right"].map((side) => [
      side,
      numbers(given[name][side], `${name}.${side}`, { x_mm: BAY_MM, y_mm: BAY_MM }),
    ]);
    return Object.fromEntries(sides);
  });
  return referenceAxis(front, rear, toe && { left_deg: toe.left, right_deg: toe.right });
}

export function decideCase(given) {
  const [value, u] = [readExact(given.value, "value", ANY_VALUE), readExact(given.u, "u", ANY_U)];
  const [low, high] = ["low", "high"].map((name) =>
    given[name] == null ? null : readExact(given[name], name, ANY_VALUE),
  );
  return decide(value, u, low, high);
}

export function heightCase(given) {
  const point = { x_mm: BAY_MM, y_mm: BAY_MM };
  const contacts = given.contacts.map((one, index) =>
    numbers(one, `contacts[${index}]`, { ...point, height_mm: HEIGHT_MM }),
  );
  const below = {
    height_mm: read(given.floor_mm, "floor_mm", HEIGHT_MM),
    u_mm: read(given.floor_u_mm, "floor_u_mm", FLOOR_U_MM),
  };
  const spot = numbers(given.spot, "spot", point);
  const [centre, u] = [read(given.centre_mm, "centre_mm", HEIGHT_MM), read(given.u_mm, "u_mm", FLOOR_U_MM)];
  return standHeight(centre, contacts, spot, below, u);
}

export function repeatsCase(given) {
  const one = { name: "value", label: "", unit: "", instrument: null, u: read(given.u, "u", ANY_U) };
  const [low, high] = ["low", "high"].map((name) => (given[name] == null ? null : read(given[name], name, ANY_VALUE)));
  if (!given.readings.length) {
    throw new BadInput("not-a-list", "readings", "readings=[] must be a list of 1 to 30 numbers");
  }
  const sets = given.readings.map((reading, index) => ({ value: read(reading, `readings[${index}]`, ANY_VALUE) }));
  const { parts } = judge({ method: "values", compare: [], readings: [{ ...one, low, high }] }, sets);
  const told = ["value", "U", "n", "s", "left_out", "left_out_no", "verdict", "p_inside", "repeats"];
  return Object.fromEntries(told.filter((name) => name in parts[0]).map((name) => [name, parts[0][name]]));
}

export function vinCase(given) {
  needs(given, "", ["text"]);
  const { text, ...rest } = readVin(given.text);
  return { vin: text, ...rest };
}

export function scanCase({ expected, placed, kit, text, holding, today, job }) {
  return scanVerdict(expected, placed, kit, text, holding, today, job);
}
