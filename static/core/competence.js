/**
 * Who works a calibration alone and who under supervision: that decides which hold points they meet.
 *
 * A supervisor says it, by person and calibration. Where nobody has said it, an apprentice works under supervision, and
 * everybody else alone. Whoever works under supervision meets every hold point, the others those meant for everyone.
 */

/** @import { Moment, Person, Sheet, Step } from "./types.js" */

/**
 * "supervised" or "alone".
 * @param {Person} person @param {string} calibration
 */
export function levelOf(person, calibration) {
  const said = person.levels && Object.hasOwn(person.levels, calibration) ? person.levels[calibration] : "";
  return said || (person.role === "apprentice" ? "supervised" : "alone");
}

/**
 * Whether somebody is under supervision at a step that serves these calibrations: if they are for any of them.
 *
 * A step that serves none, such as the day's check, goes by the role; nobody known is under supervision.
 * @param {Person?} person @param {string[]} calibrations
 */
export function isSupervised(person, calibrations) {
  if (person === null) return true;
  if (!calibrations.length) return person.role === "apprentice";
  return calibrations.some((one) => levelOf(person, one) === "supervised");
}

/**
 * The same moment with whether its person is under supervision at this step, where the step asks.
 * @param {Sheet} sheet @param {Step} step @param {Moment} moment
 * @returns {Moment}
 */
export function atStep(sheet, step, moment) {
  if (step.hold !== "apprentice") return moment;
  const section = sheet.sections.find((/** @type {any} */ one) => one.id === step.section);
  return { ...moment, supervised: isSupervised(moment.person, section?.calibrations ?? []) };
}
