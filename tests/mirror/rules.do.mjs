// The phone's rules by the names that rules.py has for the server's: one JSON object in, JSON out.
import { figure } from "../../static/core/drawing/lettering.js";
import { standMove } from "../../static/core/drawing/move.js";
import { px } from "../../static/core/drawing/svg.js";
import { BadInput, shown } from "../../static/core/errors.js";
import { codesFor, nameIn, openPairs, standIn, standsFor, trouble } from "../../static/core/kit.js";
import { labelText, readLabel } from "../../static/core/labels.js";
import { wholeMm } from "../../static/core/measure/advice.js";
import { decide, repeatsToSettle } from "../../static/core/measure/decide.js";
import { erfc } from "../../static/core/measure/erfc.js";
import { Fraction, fsum } from "../../static/core/measure/fraction.js";
import { convexHull, surrounds } from "../../static/core/measure/hull.js";
import { combined, instrumentOf, repeated } from "../../static/core/measure/instruments.js";
import { fields, judge, readAll } from "../../static/core/measure/judged.js";
import { oddOne } from "../../static/core/measure/outlier.js";
import { Range, readExact } from "../../static/core/measure/reading.js";
import { squareStand, tapesAt } from "../../static/core/measure/square.js";
import { exceeds, widening } from "../../static/core/measure/student.js";
import { number, rounded } from "../../static/core/numbers.js";
import { scanVerdict } from "../../static/core/scan.js";
import { checkDigit, checkPattern, groups, matches, readVin } from "../../static/core/vin.js";

/** A message as its name and what it was given, so that every word of a drawing is told. */
function say(name, args = {}) {
  return [
    name,
    ...Object.keys(args)
      .sort()
      .map((key) => `${key}=${args[key]}`),
  ].join(" ");
}

function lowest({ above, below }) {
  let [a, b] = [above < 0n ? -above : above, below];
  while (b) [a, b] = [b, a % b];
  return `${above / a}/${below / a}`;
}

const exactly = (value) => (value === null ? null : Fraction.ofDecimal(value));

/** The same error, seen from one level up. */
function inside(outer, rule) {
  try {
    return rule();
  } catch (error) {
    throw error instanceof BadInput ? error.inside(outer) : error;
  }
}

export const write_number = ({ value, decimals }) => ({
  number: number(value),
  shown: shown(value),
  rounded: rounded(value, decimals),
  whole_mm: wholeMm(value),
  px: px(value),
  figure: figure(value, decimals),
});
export const quote = ({ value }) => shown(value);
export const read_value = ({ value, unit, low, high, outer, shop }) =>
  inside(outer, () => {
    const exact = readExact(value, "reading", new Range(unit, low, high), shop);
    return { exact: lowest(exact), value: exact.toNumber() };
  });
export const read_label = ({ text }) => readLabel(text);
export const label_text = (label) => labelText(label);
export const read_vin = ({ text }) => {
  const vin = readVin(text, "vin");
  return { ...vin, groups: groups(vin.text), wanted: checkDigit(vin.text) };
};
export const match_pattern = ({ pattern, vin }) => {
  checkPattern(pattern);
  return matches(pattern, vin);
};
export const look_into_kit = ({ kit, expected, placed, today }) => ({
  open: openPairs(expected, placed, kit),
  codes: expected.map((pair) => [codesFor(pair.target, kit), codesFor(pair.spot, kit)]),
  stands: expected.map((pair) =>
    Object.keys(kit)
      .sort()
      .map((code) => standsFor(pair.target, code, kit)),
  ),
  names: expected.flatMap((pair) =>
    ["target", "spot"].filter((role) => pair[role] !== null).map((role) => nameIn(pair, role, kit)),
  ),
  trouble: Object.keys(kit)
    .sort()
    .map((code) => [trouble(code, kit, today), standIn(code, kit, placed, today)]),
});
export const scan_labels = ({ expected, kit, texts, today, job }) => {
  const said = [];
  let [placed, holding] = [[], null];
  for (const text of texts) {
    const found = scanVerdict(expected, placed, kit, text, holding, today, job);
    said.push(found);
    holding = found.holding;
    if (found.placed) placed = [...placed, found.placed];
  }
  return said;
};
export const sum_up = ({ values }) => ({
  fsum: number(fsum(values)),
  combined: combined(values),
  repeated: repeated(values),
  binary: lowest(Fraction.ofBinary(values[0])),
});
export const few = ({ values, u, freedom }) => ({
  odd: oddOne(values, u),
  widening: widening(freedom),
  exceeds: exceeds(u * 1.2, u, freedom),
});
export const accurate = ({ kind, reading, ...accuracy }) => instrumentOf(kind, accuracy).u(reading);
export const tail_of_normal = ({ x }) => erfc(x);
export const surround = ({ points, spot }) => ({ hull: convexHull(points), inside: surrounds(points, spot) });
export const decide_on = ({ value, u, low, high, u_instrument, s }) => ({
  ...decide(exactly(value), exactly(u), exactly(low), exactly(high)),
  repeats: repeatsToSettle(exactly(value), u_instrument, s, exactly(low), exactly(high)),
});
export const square_up = ({ track_mm, bar_mm, tapes, u, hubs }) => squareStand(track_mm, bar_mm, tapes, u, hubs);
export const measure_step = ({ measure, typed }) => {
  const sets = typed.map((given) => readAll(measure, given));
  return {
    fields: fields(measure).map(([name, label, { unit, low, high }]) => [name, label, unit, low, high]),
    sets,
    found: judge(measure, sets),
  };
};
export const move_stand = ({ found, target, hubs }) => standMove({ ...found, ...found.pose }, target, say, "mm", hubs);
export const stand_at = ({ track_mm, bar_mm, pose, hubs }) => tapesAt(track_mm, bar_mm, pose, hubs);
