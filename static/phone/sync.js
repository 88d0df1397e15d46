/**
 * Bringing the journal home. Never awaited by a tap; one run at a time, each request with a limit of time.
 *
 * Nothing is taken off the phone before the server has acknowledged it, and an acknowledgement that goes back (the
 * server was restored from an older backup) makes the phone send again what is missing there.
 */

import { toLookAt } from "./apart.js";
import { ask, read, readAll, transact, write } from "./database.js";
import { factsTaken, factsToSend } from "./facts.js";
import { foldAnew, sheetIn } from "./journal.js";
import { loadPacket, loadShelf } from "./packet.js";
import { agreeOnPerson } from "./people.js";
import { sendPhotos } from "./photos.js";
import { send, sha256 } from "./signed.js";
import { tidy } from "./tidy.js";
import { isAway, whyOf } from "./why.js";

const MOST_EVENTS = 200;

/** @type {Promise<void>?} */
let running = null;
let again = false;

/** Start a run, or let the one underway be followed by another. Never throws: what went wrong is kept, to be shown. */
export function sync() {
  again = running !== null;
  running ??= run().finally(() => {
    running = null;
  });
  return running;
}

async function run() {
  do {
    again = false;
    await once();
  } while (again);
}

/** One thing that fails does not keep the others from being tried, as long as the shop can be reached at all. */
async function once() {
  const me = await read("device", "me");
  if (!me?.key) return;
  const tried_at = new Date().toISOString();
  /** @type {unknown} */
  let wrong = null;
  for (const part of [agreeOnPerson, sendEvents, sendPhotos, loadShelf, fetchNews]) {
    try {
      await part(me);
    } catch (error) {
      wrong ??= error;
      if (isAway(error)) break;
    }
  }
  const why = wrong && whyOf(wrong);
  await note(why ? { tried_at, why } : { tried_at, ended_at: new Date().toISOString(), why: null });
}

/** @param {Record<string, any>} said */
function note(said) {
  return transact(["sync"], "readwrite", async (transaction) => {
    const kept = transaction.objectStore("sync");
    await ask(kept.put({ ...(await ask(kept.get("last"))), name: "last", ...said }));
  });
}

/**
 * Everything that only this phone has: the facts of jobs begun here, and events. What came of it is written down before
 * more is sent.
 * @param {import("./signed.js").Me} me
 */
async function sendEvents(me) {
  for (let before = ""; ; ) {
    const unsent = (await readAll("events", "unsent")).sort((one, other) => one.seq - other.seq);
    const begun = await factsToSend();
    if (!unsent.length && !begun.length) return;
    const first = JSON.stringify([unsent[0]?.seq, begun]);
    if (first === before) throw new Error(`the shop did not take event ${unsent[0]?.seq}`);
    before = first;
    const events = unsent.slice(0, MOST_EVENTS).map((event) => event.line);
    const said = JSON.stringify({ events, jobs: begun, mono_s: performance.now() / 1000 });
    const told = await (await send(me, "POST", "/sync/batches", new TextEncoder().encode(said))).json();
    await acknowledge(me.id, told.highest, told.answers);
    await factsTaken(me.id, told);
  }
}

/**
 * Up to `highest` the server has this phone's events on its disk; whatever lies above it has to be sent.
 * @param {string} device @param {number} highest @param {Record<string, any>[]} answers
 */
function acknowledge(device, highest, answers) {
  const aside = new Map(answers.filter((one) => one.status === "aside").map((one) => [one.seq, one.error.message]));
  return transact(["events"], "readwrite", async (transaction) => {
    const kept = transaction.objectStore("events");
    for (const event of await ask(kept.getAll())) {
      if (event.device !== device || event.seq <= highest === !event.unsent) continue;
      const { unsent, provisional: _checked, ...sent } = event;
      const why = aside.get(event.seq);
      kept.put(unsent ? { ...sent, ...(why ? { aside: why } : {}) } : { ...event, unsent: 1 });
    }
  });
}

/** What other devices did, for every job that this phone holds; then both sides' digests are compared. */
async function fetchNews(me) {
  const { jobs: open, planned, ended, check, now } = await (await send(me, "GET", "/sync/jobs")).json();
  await write("shelf", { name: "told", open, planned, ended, check });
  const held = new Set((await readAll("jobs")).map((one) => one.job));
  for (const { id } of open) if (!held.has(id)) await loadPacket(id);
  const theirs = new Map(open.map((/** @type {any} */ one) => [one.id, one.digest]));
  for (const job of await readAll("jobs")) {
    if (job.untold || job.refused) continue; // the shop does not know it
    if (job.digest === undefined || job.digest !== theirs.get(job.job) || (await mine(job.job)) !== job.digest) {
      await catchUp(me, job.job);
    }
  }
  await tidy(now);
}

/** @param {import("./signed.js").Me} me @param {string} job */
async function catchUp(me, job) {
  for (let more = true; more; ) {
    const { server_seq } = await read("jobs", job);
    const told = await (await send(me, "GET", `/sync/jobs/${job}/events?after=${server_seq}`)).json();
    await take(job, told);
    more = told.more;
    if (!more) await compare(job, told.digest);
  }
}

/**
 * @param {string} job
 * @param {{events: {server_seq: number, sha256: string, line: string}[], differences: any[]}} told
 */
function take(job, { events: lines, differences }) {
  return transact(["jobs", "sheets", "states", "events"], "readwrite", async (transaction) => {
    const events = transaction.objectStore("events");
    for (const line of lines) events.put({ round: 0, ...JSON.parse(line.line), ...line });
    const held = await ask(transaction.objectStore("jobs").get(job));
    const server_seq = lines.at(-1)?.server_seq ?? held.server_seq;
    const sheet = await sheetIn(transaction, held.sheet_hash);
    const apart = toLookAt(sheet, await ask(events.index("job").getAll(job)), differences);
    transaction.objectStore("jobs").put({ ...held, server_seq, apart });
    if (lines.length) await foldAnew(transaction, job, sheet);
  });
}

/**
 * Both sides agree only where their digests are equal; how many events that was said of is kept beside it.
 * @param {string} job @param {string} theirs
 */
async function compare(job, theirs) {
  const known = await readAll("events", "job", job);
  const ours = await digest(known);
  await transact(["jobs"], "readwrite", async (transaction) => {
    const kept = transaction.objectStore("jobs");
    const held = await ask(kept.get(job));
    await ask(kept.put({ ...held, digest: theirs, agreed: ours === theirs ? known.length : 0 }));
  });
}

/** @param {string} job */
async function mine(job) {
  return digest(await readAll("events", "job", job));
}

/**
 * SHA-256 over a line `DEVICE SEQ SHA256` for each event, by device and seq: as webapp/storage/arrivals.py has it.
 * @param {any[]} events
 */
async function digest(events) {
  const inOrder = [...events].sort((one, other) =>
    one.device === other.device ? one.seq - other.seq : one.device < other.device ? -1 : 1,
  );
  const lines = [];
  for (const { device, seq, sha256: known, line } of inOrder) {
    lines.push(`${device} ${seq} ${known ?? (await sha256(line))}\n`);
  }
  return sha256(lines.join(""));
}
