/** What the phone needs to work a job alone: its packet and the shelf, each committed whole or not at all. */

import { ask, read, transact } from "./database.js";
import { foldAnew } from "./journal.js";
import { send, sha256 } from "./signed.js";
import { JOB_BYTES, needRoom } from "./space.js";
import { once } from "./underway.js";

const LIMIT_MS = 15_000;

/**
 * Fetch a started job and commit it. A job that the phone holds already is left as it is: sync brings its news.
 * @param {string} job
 * @returns {Promise<void>}
 */
export function loadPacket(job) {
  return once(job, () => fetchPacket(job));
}

/** @param {string} job */
async function fetchPacket(job) {
  const me = await read("device", "me");
  if (!me?.key || (await read("jobs", job))) return;
  await needRoom(JOB_BYTES, "this job");
  const packet = await (await send(me, "GET", `/sync/jobs/${job}/packet`)).json();
  if ((await sha256(packet.body)) !== packet.sheet)
    throw new Error(`the sheet of job ${job} is not what its name says`);
  await keepPacket(packet);
}

/** @param {Record<string, any>} packet */
function keepPacket({ job, sheet: hash, body, events, kit, people }) {
  const sheet = JSON.parse(body);
  return transact(["jobs", "sheets", "states", "events", "shelf"], "readwrite", async (transaction) => {
    if (await ask(transaction.objectStore("jobs").get(job))) return;
    const server_seq = events.at(-1)?.server_seq ?? 0;
    const shelf = await ask(transaction.objectStore("shelf").get("shelf"));
    transaction.objectStore("shelf").put({ ...shelf, name: "shelf", kit, people });
    transaction.objectStore("sheets").put({ hash, sheet });
    for (const event of events) {
      transaction.objectStore("events").put({ round: 0, ...JSON.parse(event.line), ...event });
    }
    transaction.objectStore("jobs").put({ job, sheet_hash: hash, server_seq, agreed: 0 });
    await foldAnew(transaction, job, sheet);
  });
}

/**
 * The procedures, the kit and the people, where they have changed; and who is working on this phone.
 * @param {import("./signed.js").Me} me
 */
export async function loadShelf(me) {
  await loadPerson();
  const shelf = await (await send(me, "GET", "/sync/shelf")).json();
  await transact(["shelf"], "readwrite", async (transaction) => {
    await ask(transaction.objectStore("shelf").put({ name: "shelf", ...shelf }));
  });
}

/** Whose badge was scanned on this phone: the session's cookie knows, which no script can read. */
export async function loadPerson() {
  const answer = await fetch("/phone/who", { signal: AbortSignal.timeout(LIMIT_MS), cache: "no-store" });
  if (!answer.ok) throw new Error(`/phone/who answered ${answer.status}`);
  const { person } = await answer.json();
  await transact(["shelf"], "readwrite", async (transaction) => {
    await ask(transaction.objectStore("shelf").put({ name: "who", person }));
  });
}
