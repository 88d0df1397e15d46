/**
 * Full text for learners, short text for the experienced: who reads a step's `short`, by procedure. See
 * webapp/core/short.py.
 */

import { BadInput, NotAllowed, shown } from "./errors.js";
import { stepOf } from "./fold.js";

/** @import { Person, Sheet } from "./types.js" */

const TEXTS = ["full", "short"];

/**
 * Whether that is for this person to say. For an apprentice a supervisor says it, on the people's page.
 * @param {Person?} person
 * @returns {person is Person}
 */
export function mayChoose(person) {
  return person !== null && person.role !== "apprentice";
}

/**
 * The procedure that a step of the sheet belongs to. Throws BadInput (`step-unknown`).
 * @param {Sheet} sheet @param {string} name
 * @returns {string}
 */
export function procedureOf(sheet, name) {
  const step = stepOf(sheet, name);
  if (step) return step.section;
  throw new BadInput("step-unknown", "step", `step=${shown(name)} is not on this job's sheet; open the job again`);
}

/**
 * The procedures of which this person reads the short text, after choosing one of TEXTS for a procedure.
 *
 * Throws BadInput (`texts-unknown`) or NotAllowed (`texts-badge`, `texts-apprentice`).
 * @param {Person?} person @param {string} procedure @param {string} texts
 */
export function chosen(person, procedure, texts) {
  if (!TEXTS.includes(texts)) {
    throw new BadInput("texts-unknown", "texts", `texts=${shown(texts)} must be one of ${TEXTS.join(", ")}`);
  }
  if (person === null) {
    const message = "texts: nobody's badge was scanned on this phone; scan your badge, then choose again";
    throw new NotAllowed("texts-badge", "texts", message);
  }
  if (!mayChoose(person)) {
    const message = `texts=${texts}: an apprentice's texts are set on the people's page; ask a supervisor or a manager`;
    throw new NotAllowed("texts-apprentice", "texts", message);
  }
  return withChoice(person.short ?? [], procedure, texts);
}

/**
 * The names in order, each once.
 * @param {string[]} short @param {string} procedure @param {string} texts
 */
export function withChoice(short, procedure, texts) {
  const others = short.filter((one) => one !== procedure);
  return [...new Set(texts === "short" ? [...others, procedure] : others)].sort();
}
