/**
 * The phone's whole journal as a file, as webapp/sync/bring.py reads it: a last resort, where the phone itself can no
 * longer bring it home. Read past everything else, so that what is still readable comes out of a damaged storage too,
 * and filled up from the second copy.
 */

import { salvage } from "../database.js";
import { pictureOf } from "../picture.js";
import { secondCopies, secondOf } from "../second.js";

const FORMAT = 1;

/** So much the shop takes in one file; base64 makes four characters of three bytes. */
const MOST_PHOTO_BYTES = 30_000_000;

/**
 * Its lines, its name, and whether anything could not be read or had to be left out. Of a journal whose phone is named,
 * only the second copy is read: that is of a phone whose own storage was lost.
 * @param {string?} [of]
 * @returns {Promise<{name: string, text: string, events: number, photos: number, left_out: number, whole: boolean}>}
 */
export async function journalFile(of) {
  const found = of ? { phone: of, facts: [], events: [], photos: [], whole: true } : await salvaged();
  const phone = found.phone ?? (await onlyCopy()) ?? "phone-unknown";
  const second = await secondOf(phone);
  const own = byName([...second.events, ...found.events], "seq").sort((one, other) => one.seq - other.seq);
  const facts = [...new Set([...second.facts, ...found.facts])].map((said) => `{"facts":${said}}`);
  const { lines, left_out } = await photoLines(byName([...second.photos, ...found.photos], "sha256"));
  const head = JSON.stringify({ journal: FORMAT, device: phone });
  const text = [head, ...facts, ...own.map((one) => one.line), ...lines, ""].join("\n");
  const whole = found.whole && left_out === 0;
  return { name: `${phone}.jsonl`, text, events: own.length, photos: lines.length, left_out, whole };
}

/** All that can still be read of the phone's own storage. */
async function salvaged() {
  const [device, jobs, events, photos] = await Promise.all(["device", "jobs", "events", "photos"].map(salvage));
  /** @type {string | undefined} */
  const phone = device.found.find((one) => one.name === "me")?.id ?? nameIn(events.found);
  return {
    phone,
    facts: jobs.found.filter((one) => one.facts).map(({ facts }) => inJson(facts)),
    events: events.found.filter((one) => one.device === phone && one.line),
    photos: photos.found.filter((one) => one.unsent),
    whole: [device, jobs, events, photos].every((one) => one.whole),
  };
}

/** Whose journal it is, where the phone's own record is lost: unsent events are always its own. @param {any[]} events */
function nameIn(events) {
  return events.find((one) => one.unsent)?.device;
}

async function onlyCopy() {
  const [copy, ...others] = await secondCopies();
  return others.length ? undefined : copy?.device;
}

/**
 * Each once, as it came last.
 * @param {any[]} records @param {string} name
 * @returns {any[]}
 */
function byName(records, name) {
  return [...new Map(records.map((one) => [one[name], one])).values()];
}

/** @param {unknown} facts kept as text or as a value */
function inJson(facts) {
  return typeof facts === "string" ? facts : JSON.stringify(facts);
}

/** @param {{sha256: string, media: string, bytes?: ArrayBuffer, blob?: Blob}[]} photos */
async function photoLines(photos) {
  const lines = [];
  let bytes = 0;
  let left_out = 0;
  for (const photo of photos) {
    const { sha256 } = photo;
    const blob = pictureOf(photo);
    const base64 = bytes + blob.size > MOST_PHOTO_BYTES ? null : await base64Of(blob);
    if (base64 === null) left_out += 1;
    else lines.push(JSON.stringify({ photo: sha256, base64 }));
    bytes += base64 === null ? 0 : blob.size;
  }
  return { lines, left_out };
}

/**
 * Null where its bytes cannot be read.
 * @param {Blob} blob
 * @returns {Promise<string?>}
 */
function base64Of(blob) {
  return new Promise((resolve) => {
    const reader = new FileReader();
    reader.onerror = () => resolve(null);
    reader.onload = () => resolve(String(reader.result).split(",")[1] ?? "");
    reader.readAsDataURL(blob);
  });
}
