/**
 * A second copy of what only this phone has, apart from its database: a browser that finds its database damaged throws
 * the whole of it away, and one damages it itself where the disk is full (google/leveldb, issue 1180; tests/browser/
 * test_storage.py provokes it). The cache store lies in other files.
 *
 * Written in the quiet after a tap and waited for by nobody. Where it cannot be written, the journal is there all the
 * same; so nothing here throws but the reading of a copy that somebody asks for.
 */

import { readAll } from "./database.js";
import { factsToSend } from "./facts.js";
import { pictureOf } from "./picture.js";

/** Not one of the app's own files, whose caches go with their version. */
const CACHE = "second-copy";

/** @typedef {{device: string, entries: number}} Copy whose journal, and how many of its events and photos */
/** @typedef {{facts: string[], events: {seq: number, line: string}[], photos: {sha256: string, media: string, blob: Blob}[]}} Copied */

/** @param {string} device @param {"facts" | "events" | "photos"} what @param {string | number} name */
function pathOf(device, what, name) {
  return `/second/${device}/${what}/${name}`;
}

/** @param {Request} request */
function partsOf({ url }) {
  const [, , device, what, name] = new URL(url).pathname.split("/");
  return { device, what, name };
}

/**
 * Bring the copy up to date: what the shop does not have yet is in it, what it has is not.
 * @param {string} device this phone
 */
export async function keepSecond(device) {
  try {
    const wanted = await unsentOf(device);
    const copy = await caches.open(CACHE);
    const held = new Set();
    for (const request of await copy.keys()) {
      const { pathname } = new URL(request.url);
      if (wanted.has(pathname)) held.add(pathname);
      else if (partsOf(request).device === device) await copy.delete(request);
    }
    for (const [path, body] of wanted) if (!held.has(path)) await copy.put(path, body());
  } catch {
    // No room, or nothing may be kept here: the next run tries again.
  }
}

/**
 * @param {string} device
 * @returns {Promise<Map<string, () => Response>>} by path, made only where it is not there yet
 */
async function unsentOf(device) {
  const [events, photos, facts] = await Promise.all([
    readAll("events", "unsent"),
    readAll("photos", "unsent"),
    factsToSend(),
  ]);
  const wanted = new Map();
  for (const text of facts) wanted.set(pathOf(device, "facts", JSON.parse(text).job.id), () => new Response(text));
  for (const { seq, line } of events) wanted.set(pathOf(device, "events", seq), () => new Response(line));
  for (const photo of photos) {
    wanted.set(pathOf(device, "photos", photo.sha256), () => {
      const blob = pictureOf(photo);
      return new Response(blob, { headers: { "Content-Type": blob.type } });
    });
  }
  return wanted;
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
    else if (what === "events") copied.events.push({ seq: Number(name), line: await answer.text() });
    else {
      const blob = await answer.blob();
      copied.photos.push({ sha256: name, media: blob.type, blob });
    }
  }
  return copied;
}

/** Somebody has brought it to the shop. @param {string} device */
export async function forgetSecond(device) {
  const copy = await caches.open(CACHE);
  for (const request of await copy.keys()) if (partsOf(request).device === device) await copy.delete(request);
}
