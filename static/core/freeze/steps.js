/** The steps of a sheet: each as its procedure has it, resolved for this vehicle, this plan and these qualifiers. */

import { figuresOf } from "../figures.js";
import { belongs, holds, procedureOf } from "../plan.js";
import { areaKey, figureKey, floorKey, forJob, inUnit } from "./drawings.js";
import { pairOf, vehicleOf } from "./head.js";
import { measureOf, spotsOf } from "./measures.js";

/** @import { Figures, Library, Procedure, Step, Vehicle } from "../types.js" */

/**
 * What every step of one sheet is resolved against.
 * @typedef {{library: Library, vehicle: Vehicle?, qualifiers: Record<string, string>, order: Procedure[],
 *   placements: Record<string, Record<string, any>[]>, area: Record<string, number>?}} About
 * @typedef {Record<string, any>} Written a step as its procedure has it
 */

/**
 * @param {About} about @param {Procedure} procedure
 * @returns {Step[]}
 */
export function steps(about, procedure) {
  const figures = figuresOf(about.vehicle, procedure.procedure, about.qualifiers);
  const standing = procedure.steps.filter((/** @type {Written} */ step) => stands(about, step));
  return standing.map((/** @type {Written} */ step) => stepOf(about, procedure, step, figures));
}

/**
 * Whether the step is part of this job; where nothing was placed, nothing is scanned back home.
 * @param {About} about @param {Written} step
 */
function stands({ qualifiers, placements, order }, step) {
  const empty = step.pairs === "homes" && !Object.values(placements).some((group) => group.length);
  const names = order.map((one) => one.procedure);
  return holds(step.only_if, qualifiers) && belongs(step, names) && !empty;
}

/** @param {About} about @param {Procedure} procedure @param {Written} step @param {Figures} figures @returns {Step} */
function stepOf(about, procedure, step, figures) {
  const { catalogue } = about.library;
  // Qualifiers are settled here and now; what is left hangs on answers given on the way.
  const open = Object.entries(step.only_if).filter(([name]) => !Object.hasOwn(about.qualifiers, name));
  const held = {
    id: `${procedure.procedure}/${step.id}`,
    section: procedure.procedure,
    kind: step.kind,
    do: step.do,
    short: step.short,
    why: step.why,
    mistakes: step.mistakes,
    cautions: step.caution.map((/** @type {string} */ name) => ({ id: name, ...catalogue.cautions[name] })),
    button: step.button,
    only_if: Object.fromEntries(open.map(([name, values]) => [name, [values].flat()])),
    hold: step.hold,
    expect_s: step.expect,
    causes: step.causes.map((/** @type {any} */ one) => causeOf(about, procedure, one)),
    ...detailsOf(about, procedure, step, figures),
    ...(step.drawing === "area" ? { shows: "area" } : {}),
  };
  return { ...held, drawing: drawingOf(about, procedure, step, held) };
}

/** @param {About} about @param {Procedure} procedure @param {any} one */
function causeOf(about, procedure, { cause, likely, check, takes, redo }) {
  const name = redo === null || redo.includes("/") ? redo : `${procedure.procedure}/${redo}`;
  const back_to = name ? sentence(about, name) : null;
  return { cause, likely, check, takes_s: takes, redo: back_to ? name : null, back_to };
}

/**
 * What the step of that name does; null where it is not part of this job.
 * @param {About} about @param {string} name
 * @returns {string?}
 */
function sentence(about, name) {
  const [section, wanted] = name.split("/");
  if (!about.order.some((one) => one.procedure === section)) return null;
  const all = procedureOf(about.library, section).steps;
  const found = all.find((/** @type {Written} */ step) => step.id === wanted && stands(about, step));
  return found?.do ?? null;
}

/**
 * @param {About} about @param {Procedure} procedure @param {Written} step @param {Figures} figures
 * @returns {Record<string, any>}
 */
function detailsOf(about, procedure, step, figures) {
  if (step.kind === "choose") return { asks: step.asks ?? step.id, options: step.options };
  if (step.kind === "scan") return { pairs: pairsOf(about, procedure, step) };
  if (step.kind === "measure" && step.measure) return { measure: measured(about, procedure, step, figures) };
  if (step.kind === "photo") return { photo: step.photo };
  if (step.kind === "wait" && step.wait !== null) return { wait_s: step.wait };
  return {};
}

/** @param {About} about @param {Procedure} procedure @param {Written} step @param {Figures} figures */
function measured(about, procedure, step, figures) {
  const places = about.placements[procedure.procedure] ?? [];
  const outline = about.vehicle && vehicleOf(about.vehicle).outline;
  const made = measureOf(step.measure, figures, spotsOf(Object.values(about.placements)), places, outline);
  return { ...made, ...inUnit(about.library) };
}

/**
 * The placements that the step is about.
 * @param {About["placements"]} placements @param {Procedure} procedure @param {Written} step
 */
function placesOf(placements, procedure, { spots }) {
  const places = placements[procedure.procedure] ?? [];
  return places.filter(({ spot }) => !spots.length || spots.includes(spot));
}

/** @param {About} about @param {Procedure} procedure @param {Written} step */
function pairsOf({ library, placements }, procedure, step) {
  const pair = (/** @type {any} */ { target, spot }) => pairOf(library, target, spot);
  if (step.pairs === "spec") return placesOf(placements, procedure, step).map(pair);
  if (step.pairs !== "homes") return step.pairs.map(pair);
  const placed = new Set(Object.values(placements).flatMap((group) => group.map((one) => one.target)));
  return [...placed].map((target) => pairOf(library, target, library.catalogue.targets[target].home));
}

/** @param {About} about @param {Procedure} procedure @param {Written} step @param {Record<string, any>} held */
function drawingOf({ library, vehicle, placements, area }, procedure, step, held) {
  if (step.drawing === null || vehicle === null || (step.drawing === "area" && area === null)) return null;
  const { outline } = vehicleOf(vehicle);
  const places = placesOf(placements, procedure, step);
  const key =
    step.drawing === "area"
      ? areaKey(library, outline, area)
      : step.drawing === "floor"
        ? floorKey(library, vehicle, outline, procedure)
        : figureKey(
            library,
            step.drawing,
            outline,
            places,
            step.kind === "scan" ? { stands: true } : (held.measure ?? {}),
          );
  return forJob(library, key, Object.keys(placements));
}
