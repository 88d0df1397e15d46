/** What the phone needs to work a job alone: its packet and the shelf, each committed whole or not at all. */

import { toLookAt } from "./apart.js";
import { ask, read, transact } from "./database.js";
import { aboutOf, foldAnew } from "./journal.js";
import { send, sha256 } from "./signed.js";
import { JOB_BYTES, needRoom } from "./space.js";
import { withChoices } from "./texts.js";
import { once } from "./underway.js";

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
function keepPacket({ job, sheet: hash, body, events, differences, kit, people, phones }) {
  const sheet = JSON.parse(body);
  return transact(["jobs", "sheets", "states", "events", "shelf"], "readwrite", async (transaction) => {
    if (await ask(transaction.objectStore("jobs").get(job))) return;
    const server_seq = events.at(-1)?.server_seq ?? 0;
    const shelf = await ask(transaction.objectStore("shelf").get("shelf"));
    // Newer than what the shelf's ETag stands for, so that one counts no more.
    await putShelf(transaction, { ...shelf, kit, people, phones, etag: null });
    transaction.objectStore("sheets").put({ hash, sheet });
    const known = events.map((/** @type {any} */ event) => ({ round: 0, ...JSON.parse(event.line), ...event }));
    for (const event of known) transaction.objectStore("events").put(event);
    const apart = toLookAt(sheet, known, differences);
    transaction.objectStore("jobs").put({ job, sheet_hash: hash, server_seq, agreed: 0, about: aboutOf(sheet), apart });
    await foldAnew(transaction, job, sheet);
  });
}

/**
 * What a job is begun from: procedures, kit, badges and times, where they have changed; the library only where that has.
 * @param {import("./signed.js").Me} me
 */
export async function loadShelf(me) {
  const held = await read("shelf", "shelf");
  const query = held?.library ? `?library=${held.library}` : "";
  const answer = await send(
    me,
    "GET",
    `/sync/shelf${query}`,
    undefined,
    held?.etag ? { "If-None-Match": held.etag } : {},
  );
  if (answer.status === 304) return;
  const { shelf: library, ...news } = await answer.json();
  await transact(["shelf"], "readwrite", async (transaction) => {
    if (library) transaction.objectStore("shelf").put({ name: "library", shelf: library });
    await putShelf(transaction, { ...news, etag: answer.headers.get("ETag") });
  });
}

/**
 * Whoever has this phone counts as the shop has them now: a badge may have been taken away, or its role changed.
 * @param {IDBTransaction} transaction @param {Record<string, any>} news
 */
async function putShelf(transaction, { etag, ...news }) {
  const kept = transaction.objectStore("shelf");
  const [who, choices] = await Promise.all(["who", "choices"].map((name) => ask(kept.get(name))));
  const untold = choices?.untold ?? [];
  const people = withChoices(news.people, untold);
  kept.put({ ...news, name: "shelf", people, etag: untold.length ? null : etag });
  if (who?.person) kept.put({ ...who, person: personIn(who.person.code, people) });
}

/** @param {string} code @param {import("./texts.js").People} people */
function personIn(code, people) {
  return Object.hasOwn(people, code) ? { code, ...people[code] } : null;
}
