/** Starting a job on this phone: the sheet is made from the shelf, named, and the first event says so. */

import { makeSheet } from "../../core/freeze/index.js";
import { sheetJob } from "../../core/intake.js";
import { canonical, contentHash } from "../../core/sheet.js";
import { chainOn, following, onChain } from "../chain.js";
import { newId, readClock } from "../clock.js";
import { ask, transact } from "../database.js";
import { aboutOf, foldAnew, named } from "../journal.js";
import { JOB_BYTES, needRoom } from "../space.js";

/** @import { Facts } from "../../core/intake.js" */
/** @import { Proposal, Vehicle } from "../../core/types.js" */
/** @import { Shop } from "../shelf.js" */

/**
 * Freeze a job's sheet and keep its first event, in one transaction: afterwards the job is no draft any more, and lies
 * on the phone's disk as if its packet had come. The facts go to the shop, which makes the sheet again and compares.
 *
 * A second tap finds the draft gone and changes nothing, as does one after a change that this start did not see.
 * @param {Shop} shop @param {Facts} facts @param {Vehicle?} vehicle @param {Proposal[]} plan
 */
export async function startJob(shop, facts, vehicle, plan) {
  await needRoom(JOB_BYTES, "this job");
  const { added, struck } = facts.plan;
  const job = { ...sheetJob(facts, shop.kit), salt: crypto.randomUUID().replaceAll("-", "") }; // see storage/privacy.py
  const sheet = makeSheet(shop.library, job, vehicle, plan, struck);
  const hash = await contentHash(sheet, (bytes) => crypto.subtle.digest("SHA-256", /** @type {any} */ (bytes)));
  const stores = ["drafts", "device", "jobs", "sheets", "states", "events"];
  /** @type {{seq: number, line: string}?} */
  let written = null;
  await onChain((end) =>
    transact(stores, "readwrite", async (transaction) => {
      const store = (/** @type {string} */ name) => transaction.objectStore(name);
      const draft = await ask(store("drafts").get(facts.id));
      if (facts.sort !== "day" && (!draft || canonical(draft) !== canonical(facts))) return;
      const device = await ask(store("device").get("me"));
      if (end?.seq !== device.seq) return { behind: device };
      const { clock, kept } = readClock(device.clock);
      const first = { kind: "started", step: null, attempt: 1, turn: 0, data: { sheet: hash } };
      const where = { id: newId(), job: facts.id, device: device.id, seq: device.seq + 1, round: 0 };
      const event = { ...named(first, where, clock, shop.person), ...following(end) };
      written = { seq: event.seq, line: JSON.stringify(event) };
      const told = { job, vehicle: facts.vehicle, added, struck, sheet: hash, at: clock.at, person: event.person };
      store("drafts").delete(facts.id);
      store("sheets").put({ hash, sheet });
      store("events").put({ ...event, line: written.line, unsent: 1 });
      store("device").put({ ...device, seq: event.seq, tail: written, clock: kept });
      store("jobs").put({
        job: facts.id,
        sheet_hash: hash,
        server_seq: 0,
        agreed: 0,
        about: aboutOf(sheet),
        facts: told,
        untold: true,
      });
      await foldAnew(transaction, facts.id, sheet);
    }),
  );
  if (written) chainOn(written);
}
