/**
 * A second copy of what only this phone has, apart from its database: a browser that finds its database damaged throws
 * the whole of it away, and one damages it itself where the disk is full (google/leveldb, issue 1180; tests/browser/
 * test_storage.py provokes it). The cache store lies in other files.
 *
 * Written in the quiet after a tap and waited for by nobody. Where it cannot be written, the journal is there all the
 * same; so nothing here throws but the reading of a copy that somebody asks for.
 */

import { ask, read, transact } from "./database.js";
import { factsToSend } from "./facts.js";
import { pictureOf } from "./picture.js";

/** Not one of the app's own files, whose caches go with their version. */
const CACHE = "second-copy";

/** @typedef {{device: string, entries: number}} Copy whose journal, and how many of its events and photos */
/** @typedef {{facts: string[], events: {seq: number, line: string}[], photos: {sha256: string, media: string, blob: Blob}[]}} Copied */

/** @param {string} device @param {"facts" | "events" | "photos"} what @param {string} name */
function pathOf(device, what, name) {
  return `/second/${device}/${what}/${name}`;
}

/** @param {Request} request */
function partsOf({ url }) {
  const [, , device, what, name] = new URL(url).pathname.split("/");
  return { device, what, name };
}

/** What lies in the copy, as far as this worker knows: it need not be listed after every tap. @type {Set<string>?} */
let held = null;

/**
 * Bring the copy up to date: what the shop does not have yet is in it, what it has is not.
 * @param {string} device this phone
 */
export async function keepSecond(device) {
  try {
    held ??= new Set((await everyEntry()).map(({ url }) => new URL(url).pathname));
    const wanted = await unsentOf(device);
    const sent = [...held].filter((path) => path.startsWith(`/second/${device}/`) && !wanted.has(path));
    const unsent = [...wanted].filter(([path]) => !held?.has(path));
    if (!sent.length && !unsent.length) return;
    const copy = await caches.open(CACHE);
    for (const [path, body] of unsent) {
      await copy.put(path, await body());
      held.add(path);
    }
    for (const path of sent) {
      await copy.delete(path);
      held.delete(path);
    }
  } catch {
    held = null; // no room, or nothing may be kept here: the next run looks again, and tries again
  }
}

/**
 * @param {string} device
 * @returns {Promise<Map<string, () => Promise<Response>>>} by path, made only where it is not there yet
 */
async function unsentOf(device) {
  const [events, photos, facts] = await Promise.all([unsentIn("events"), unsentIn("photos"), factsToSend()]);
  const wanted = new Map();
  for (const text of facts)
    wanted.set(pathOf(device, "facts", JSON.parse(text).job.id), async () => new Response(text));
  for (const id of events) {
    wanted.set(pathOf(device, "events", id), async () => new Response((await read("events", id)).line));
  }
  for (const sha256 of photos) {
    wanted.set(pathOf(device, "photos", sha256), async () => {
      const blob = pictureOf(await read("photos", sha256));
      return new Response(blob, { headers: { "Content-Type": blob.type } });
    });
  }
  return wanted;
}

/**
 * The names of what was not sent, without reading it.
 * @param {"events" | "photos"} store
 * @returns {Promise<string[]>}
 */
function unsentIn(store) {
  return transact([store], "readonly", async (transaction) => {
    const names = await ask(transaction.objectStore(store).index("unsent").getAllKeys());
    return names.map(String);
  });
}

/**
 * Whose copies lie here: this phone's own, and those of what it was before it was paired anew.
 * @returns {Promise<Copy[]>}
 */
export async function secondCopies() {
  /** @type {Map<string, number>} */
  const found = new Map();
  for (const request of await everyEntry()) {
    const { device, what } = partsOf(request);
    found.set(device, (found.get(device) ?? 0) + (what === "facts" ? 0 : 1));
  }
  return [...found].map(([device, entries]) => ({ device, entries }));
}

async function everyEntry() {
  try {
    return (await caches.has(CACHE)) ? await (await caches.open(CACHE)).keys() : [];
  } catch {
    return [];
  }
}

/**
 * @param {string} device
 * @returns {Promise<Copied>}
 */
export async function secondOf(device) {
  /** @type {Copied} */
  const copied = { facts: [], events: [], photos: [] };
  for (const request of await everyEntry()) {
    const { device: whose, what, name } = partsOf(request);
    if (whose !== device) continue;
    const answer = await caches.match(request, { cacheName: CACHE });
    if (!answer) continue;
    if (what === "facts") copied.facts.push(await answer.text());
    else if (what === "events") {
      const line = await answer.text();
      copied.events.push({ seq: JSON.parse(line).seq, line });
    } else {
      const blob = await answer.blob();
      copied.photos.push({ sha256: name, media: blob.type, blob });
    }
  }
  return copied;
}

/** Somebody has brought it to the shop. @param {string} device */
export async function forgetSecond(device) {
  held = null;
  const copy = await caches.open(CACHE);
  for (const request of await copy.keys()) if (partsOf(request).device === device) await copy.delete(request);
}
