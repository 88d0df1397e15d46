/** The jobs that this phone knows of: those it holds, those it plans, and those that the shop told of. */

import { ask, transact } from "../database.js";
import { drafts } from "../drafts.js";
import { aboutOf, holds, sheetIn } from "../journal.js";
import { STORES, truthOf } from "../truth.js";
import { goOn } from "./page.js";

/** @import { Facts } from "../../core/intake.js" */
/** @import { JobState, Sheet } from "../../core/types.js" */
/** @import { Shop } from "../shelf.js" */

/** `sheet` is that of an open job only. @typedef {{facts: Facts, sheet: Sheet?, state: JobState, truth: import("../truth.js").Truth, apart: boolean}} Held */

/**
 * Every job whose packet is committed here, or that was begun here; the newest first.
 * @returns {Promise<Held[]>}
 */
export function heldJobs() {
  return transact([...STORES, "sheets", "states"], "readonly", async (transaction) => {
    const found = [];
    for (const { job, sheet_hash, about, apart } of await ask(transaction.objectStore("jobs").getAll())) {
      const { state } = await ask(transaction.objectStore("states").get(job));
      const facts = about ?? aboutOf(await sheetIn(transaction, sheet_hash));
      const sheet = state.phase === "open" ? await sheetIn(transaction, sheet_hash) : null;
      const truth = await truthOf(transaction, job);
      found.push({ facts: { ...facts, phase: state.phase }, sheet, state, truth, apart: Boolean(apart?.length) });
    }
    const began = (/** @type {Held} */ one) => one.state.started_at ?? "";
    return found.sort((one, other) => (began(one) < began(other) ? 1 : -1));
  });
}

/**
 * The other jobs on that VIN that are being planned or worked, as far as this phone knows.
 * @param {Shop} shop @param {string} vin @param {string} but
 * @returns {Promise<Facts[]>}
 */
export async function othersOn({ told }, vin, but) {
  const held = await heldJobs();
  const known = new Set(held.map((one) => one.facts.id));
  const open = held.filter((one) => one.state.phase === "open").map((one) => one.facts);
  const planned = (await drafts()).filter((one) => one.phase === "planning");
  const away = [...told.open, ...told.planned].filter((one) => !known.has(one.id));
  return [...open, ...planned, ...away].filter((one) => one.vin === vin && one.id !== but);
}

/**
 * Where to go with a job that is not being planned here: to its page, or why it was dropped; null where this phone does
 * not know it, and the shop may.
 * @param {string} job @param {Facts?} facts
 */
export async function elsewhere(job, facts) {
  if (await holds(job)) return goOn(`/jobs/${job}`);
  return facts ? goOn(`/jobs/${job}/drop`) : null;
}
