/** What other devices did on the jobs that this phone holds, and whether both sides then hold the same. */

import { WAITS } from "../core/vouched.js";
import { toLookAt } from "./apart.js";
import { ask, read, readAll, transact, write } from "./database.js";
import { digest, digestOf } from "./digest.js";
import { foldAnew, sheetIn } from "./journal.js";
import { loadPacket } from "./packet.js";
import { holdWhatTheyHold, linesOf } from "./restored.js";
import { sendBatch, sendEvents } from "./sending.js";
import { Refused, send } from "./signed.js";
import { dropErased, tidy } from "./tidy.js";
import { countUnsent } from "./truth.js";
import { isAway } from "./why.js";

/** The shop answers for so many at once. */
const MOST_DIGESTS = 500;

/**
 * The jobs that the shop knows; and it hears how much this phone has still to send.
 * @param {import("./signed.js").Me} me
 */
async function askForJobs(me) {
  const headers = { "Baybook-Unsent": String(await countUnsent()) };
  return (await send(me, "GET", "/sync/jobs", undefined, headers)).json();
}

/**
 * Of those of these jobs that the shop knows, each one's digest: of the open ones it has told, and a week of others is
 * asked about at once.
 * @param {import("./signed.js").Me} me @param {string[]} jobs
 * @returns {Promise<Record<string, string>>}
 */
async function askForDigests(me, jobs) {
  const found = {};
  for (let from = 0; from < jobs.length; from += MOST_DIGESTS) {
    const asked = new TextEncoder().encode(JSON.stringify({ jobs: jobs.slice(from, from + MOST_DIGESTS) }));
    Object.assign(found, (await (await send(me, "POST", "/sync/digests", asked)).json()).digests);
  }
  return found;
}

/** The jobs that lie here and that the shop knows, each with the count of its events here. */
function knownJobs() {
  return transact(["jobs", "events"], "readonly", async (transaction) => {
    const events = transaction.objectStore("events").index("job");
    const jobs = await ask(transaction.objectStore("jobs").getAll());
    const known = jobs.filter(({ untold, refused }) => !untold && !refused);
    return Promise.all(known.map(async (one) => ({ ...one, count: await ask(events.count(one.job)) })));
  });
}

/**
 * For every open job, and every job that this phone holds. One of which the shop cannot tell keeps no other from being
 * heard of.
 * @param {import("./signed.js").Me} me
 */
export async function fetchNews(me) {
  const { jobs: open, planned, ended, check, release, erased, now } = await askForJobs(me);
  await write("shelf", { name: "told", open, planned, ended, check, release });
  await dropErased(erased);
  const held = new Set((await readAll("jobs")).map((one) => one.job));
  for (const { id } of open) if (!held.has(id)) await loadPacket(id);
  const known = await knownJobs();
  const theirs = Object.fromEntries(open.map((/** @type {any} */ one) => [one.id, one.digest]));
  const over = known.map(({ job }) => job).filter((job) => !Object.hasOwn(theirs, job));
  Object.assign(theirs, await askForDigests(me, over));
  /** @type {unknown} */
  let wrong = null;
  for (const job of known) {
    try {
      await hear(me, job, theirs[job.job]);
    } catch (error) {
      if (isAway(error)) throw error;
      wrong ??= error;
    }
  }
  await tidy(now);
  if (wrong) throw wrong;
}

/**
 * Where both sides hold something else although nothing is unsent, the server was put back from a backup: it is asked
 * what it has, and gets what it lacks. That is done once for each pair of digests.
 * @param {import("./signed.js").Me} me @param {Record<string, any>} held @param {string | undefined} theirs
 */
async function hear(me, { job, digest: known, agreed, count, retraced, apart }, theirs) {
  const waits = apart?.some((/** @type {any} */ one) => one.what === WAITS); // what is found of it changes no digest
  // No event is ever changed: as many as agreed once agree.
  if (!waits && known !== undefined && known === theirs && agreed === count) return;
  const told = await catchUp(me, job).catch(nullIfUnknown);
  const ours = await digestOf(job);
  const pair = `${told} ${ours}`;
  const unsent = await transact(["events"], "readonly", (transaction) =>
    ask(transaction.objectStore("events").index("job-unsent").count([job, 1])),
  );
  if (told === ours || unsent || pair === retraced) return;
  await sendBatch(me, []);
  await sendEvents(me);
  await holdWhatTheyHold(me.id, job, await linesOf(me, job));
  await catchUp(me, job, pair);
}

/** A job that the server does not know. @param {unknown} error */
function nullIfUnknown(error) {
  if (error instanceof Refused && error.code === "job-unknown") return null;
  throw error;
}

/**
 * Returns the server's digest.
 * @param {import("./signed.js").Me} me @param {string} job @param {string} [retraced]
 * @returns {Promise<string>}
 */
async function catchUp(me, job, retraced) {
  for (;;) {
    const { server_seq } = await read("jobs", job);
    const told = await (await send(me, "GET", `/sync/jobs/${job}/events?after=${server_seq}`)).json();
    await take(job, told);
    if (told.more) continue;
    await compare(job, told.digest, retraced);
    return told.digest;
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
 * Both sides agree only where their digests are equal; how many events that was said of is kept beside it. `retraced`:
 * between which two digests all of the job was asked for anew.
 * @param {string} job @param {string} theirs @param {string} [retraced]
 */
async function compare(job, theirs, retraced) {
  const known = await readAll("events", "job", job);
  const ours = await digest(known);
  await transact(["jobs"], "readwrite", async (transaction) => {
    const kept = transaction.objectStore("jobs");
    const held = await ask(kept.get(job));
    const agreed = ours === theirs ? known.length : 0;
    await ask(kept.put({ ...held, digest: theirs, agreed, ...(retraced ? { retraced } : {}) }));
  });
}
