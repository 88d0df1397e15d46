/** What the phone needs to work a job alone: its packet and the shelf, each committed whole or not at all. */

import { newId } from "./clock.js";
import { ask, read, transact } from "./database.js";
import { foldAnew } from "./journal.js";

const LIMIT_MS = 20_000;

/** What is on its way, so that a tap can wait for it and two pages do not ask twice. @type {Map<string, Promise<any>>} */
const loading = new Map();

/** @param {string} path */
async function fetched(path) {
  const answer = await fetch(path, {
    signal: AbortSignal.timeout(LIMIT_MS),
    cache: "no-store",
    headers: { Accept: "application/json" },
  });
  if (!answer.ok) throw new Error(`${path} answered ${answer.status}`);
  return answer.json();
}

/**
 * @param {string} name @param {() => Promise<void>} load
 * @returns {Promise<void>}
 */
function single(name, load) {
  if (!loading.has(name)) {
    loading.set(
      name,
      load().finally(() => loading.delete(name)),
    );
  }
  return /** @type {Promise<void>} */ (loading.get(name));
}

/** @param {string} job */
export function underway(job) {
  return loading.get(job) ?? null;
}

/** @param {string} job */
export async function holds(job) {
  return (await read("jobs", job)) !== undefined;
}

/**
 * Fetch a started job and commit it. A job that the phone holds already is left as it is: sync brings its news.
 * @param {string} job
 */
export function loadPacket(job) {
  return single(job, async () => {
    if (await holds(job)) return;
    await keepPacket(await fetched(`/phone/packets/${job}`));
  });
}

/** @param {{job: string, sheet_hash: string, sheet: any, events: [number, any][]}} packet */
export function keepPacket({ job, sheet_hash, sheet, events }) {
  return transact(["device", "jobs", "sheets", "states", "events"], "readwrite", async (transaction) => {
    if (await ask(transaction.objectStore("jobs").get(job))) return;
    const last = events.at(-1)?.[0] ?? 0;
    transaction.objectStore("sheets").put({ hash: sheet_hash, sheet });
    for (const [server_seq, event] of events) transaction.objectStore("events").put({ round: 0, ...event, server_seq });
    transaction
      .objectStore("jobs")
      .put({ job, sheet_hash, order: sheet.job.repair_order, server_seq: last, agreed: 0 });
    await foldAnew(transaction, job, sheet);
  });
}

/** The kit, the badges and who is working; then the packet of every open job that the phone does not hold. */
export function loadShelf() {
  return single("shelf", async () => {
    const { jobs, ...shelf } = await fetched("/phone/shelf");
    await transact(["shelf"], "readwrite", async (transaction) => {
      await ask(transaction.objectStore("shelf").put({ name: "shelf", ...shelf }));
    });
    for (const job of jobs) await loadPacket(job);
  });
}

/** This phone's name, given once. */
export function device() {
  return transact(["device"], "readwrite", async (transaction) => {
    const kept = transaction.objectStore("device");
    const known = await ask(kept.get("me"));
    if (known) return known;
    const made = { name: "me", id: `phone-${newId()}`, seq: 0 };
    kept.put(made);
    return made;
  });
}
