/** Today: the equipment check, the open jobs, and the way to a new one. */

import { frame } from "./frame.js";

/** @import { Clock, JobState, Library, Say, Sheet, View } from "../types.js" */

/** @type {Record<string, [string, string]>} */
const CHECK_LOOKS = { valid: ["inside", "●"], running: ["close", "◐"], due: ["close", "◐"] };

/**
 * `check` is {status: valid, running or due, job, time}; the others are rows, as the functions below.
 * `waiting` is how many steps wait for whoever reads it, a supervisor; `release` the number of one of head office's that
 * waits for their decision.
 * @param {View} check @param {View[]} opened @param {View[]} planned @param {View[]} ended @param {Say} say
 * @param {number} [waiting] @param {number?} [release]
 * @returns {View}
 */
export function todayView({ status, job, time }, opened, planned, ended, say, waiting = 0, release = null) {
  const [look, shape] = CHECK_LOOKS[status];
  const check = {
    class: look,
    shape,
    says: say(`today-check-${status}`, { time }),
    record: status === "valid" ? `/jobs/${job}/record` : null,
    go: status === "valid" ? null : say(`today-check-go-${status}`),
  };
  const some = { has_opened: opened.length > 0, has_planned: planned.length > 0, has_ended: ended.length > 0 };
  const waits = waiting ? say("today-waits", { count: waiting }) : null;
  const undecided = release ? say("releases-waits", { number: release }) : null;
  return { today: { check, waits, release: undecided, opened, planned, ended, ...some } };
}

/**
 * An open job and how far it has come. `truth` is where its data is, on a phone that can work it alone.
 * @param {Sheet} sheet @param {JobState} state @param {Clock} now @param {Say} say @param {View?} [truth]
 * @returns {View}
 */
export function openRow(sheet, state, now, say, truth = null) {
  const { url, order, vehicle, section, settled, of } = frame(sheet, state, now, say);
  const where = state.paused ? [say("paused-title")] : [];
  where.push(section || say("finish-title"), say("today-settled", { settled, of }));
  const title = vehicle || sheet.job.vin || say("today-vehicle-unknown");
  return { url, order, title, mark: state.paused ? "◐ " : "", where: where.join(" · "), truth };
}

/**
 * An open job of the shop that this phone does not hold.
 * @param {Library} library @param {View} facts @param {Say} say
 * @returns {View}
 */
export function awayRow(library, facts, say) {
  const row = { url: `/jobs/${facts.id}`, order: facts.repair_order, title: titleOf(library, facts, say) };
  return { ...row, mark: "○ ", where: say("today-away"), truth: null };
}

/**
 * A job that is being planned.
 * @param {Library} library @param {View} facts @param {Say} say
 * @returns {View}
 */
export function plannedRow(library, facts, say) {
  const order = facts.repair_order || say("today-no-order");
  return { url: `/jobs/${facts.id}/plan`, order, title: titleOf(library, facts, say), vin: facts.vin };
}

/**
 * A job that was finished or abandoned on that day of the shop's.
 * @param {Library} library @param {View} facts @param {string} day @param {string} url @param {Say} say
 * @returns {View}
 */
export function endedRow(library, facts, day, url, say) {
  const when = say(facts.phase === "abandoned" ? "today-abandoned" : "today-finished-job", { day });
  return { url, order: facts.repair_order, title: titleOf(library, facts, say), where: when };
}

/**
 * The row of a job on whose page something is to be looked at (see apart.js), so that somebody does.
 * @param {View} row @param {Say} say
 * @returns {View}
 */
export function toLookAt(row, say) {
  return { ...row, where: `◐ ${say("today-apart")} · ${row.where}` };
}

/**
 * What the vehicle is called, as far as it is known.
 * @param {Library} library @param {View} facts @param {Say} say
 * @returns {string}
 */
function titleOf(library, facts, say) {
  const vehicle = library.vehicles.get(facts.vehicle ?? "");
  return vehicle ? `${vehicle.maker} ${vehicle.model}` : facts.vin || say("today-vehicle-unknown");
}
