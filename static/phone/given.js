/** What comes with a tap: the form's fields, a photo drawn anew and named, a supervisor whose PIN the shop checked. */

import { BadInput, NotAllowed } from "../core/errors.js";

const LONGEST_PX = 2560;
const QUALITY = 0.85;
const MEDIA = "image/jpeg";
const LONGEST_NAME = 80;
const LIMIT_MS = 10_000;

/**
 * The form's text fields, each once, and the photo's file if one was chosen.
 * @param {FormData} form
 * @returns {{given: Record<string, string>, file: File?}}
 */
export function fieldsOf(form) {
  /** @type {Record<string, string>} */
  const given = {};
  for (const [name, value] of form) {
    if (typeof value === "string" && name.length <= LONGEST_NAME && !Object.hasOwn(given, name)) given[name] = value;
  }
  delete given.sha256; // what names a kept photo is ours to say, not a form's
  delete given.media;
  const file = form.get("photo");
  return { given, file: file instanceof File && file.name ? file : null };
}

/**
 * The photo to keep with a photo step, as the server keeps one: upright, at most 2560 pixels long, and without what
 * the camera wrote beside the picture. `given` is told its name.
 * @param {Record<string, string>} given @param {File?} file
 * @returns {Promise<import("./journal.js").Photo?>}
 */
export async function photoOf(given, file) {
  if (!file || given.do !== "photo") return null;
  const blob = await drawnAnew(file);
  const digest = await crypto.subtle.digest("SHA-256", await blob.arrayBuffer());
  const sha256 = [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  Object.assign(given, { sha256, media: MEDIA });
  return { sha256, media: MEDIA, blob };
}

/** @param {File} file */
async function drawnAnew(file) {
  if (!file.size) {
    throw new BadInput("photo-empty", "photo", "photo is empty (0 bytes): take or choose the photo again");
  }
  const picture = await createImageBitmap(file, { imageOrientation: "from-image" }).catch(() => {
    const message = "photo is not an image this phone can open: take it with the phone's own camera";
    throw new BadInput("photo-not-an-image", "photo", message);
  });
  const scale = Math.min(1, LONGEST_PX / Math.max(picture.width, picture.height));
  const canvas = new OffscreenCanvas(Math.round(picture.width * scale), Math.round(picture.height * scale));
  canvas.getContext("2d")?.drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  return canvas.convertToBlob({ type: MEDIA, quality: QUALITY });
}

/**
 * On a scan step the label in a photo becomes the text. The shop's server reads it: this phone cannot by itself.
 * @param {Record<string, string>} given @param {File?} file
 */
export async function readLabelIn(given, file) {
  if (!file || given.do !== "scan") return;
  const form = new FormData();
  form.set("photo", file);
  const { text } = await asked("/phone/label", form, "photo", "photo-needs-shop");
  Object.assign(given, { text, via: "photo" });
}

/**
 * The supervisor whose badge and PIN the form carries. The shop's server checks the PIN: the phone holds nothing that
 * a PIN could be tried out on, so without the network nobody can countersign.
 * @param {Record<string, string>} given
 * @returns {Promise<import("../core/types.js").Person?>}
 */
export function witnessOf({ badge, pin }) {
  if (!badge && !pin) return Promise.resolve(null);
  const form = new FormData();
  form.set("badge", badge ?? "");
  form.set("pin", pin ?? "");
  return asked("/phone/witness", form, "pin", "pin-needs-shop");
}

const AWAY = {
  "photo-needs-shop": "photo: the label in it is read by the shop's server, which cannot be reached; scan or type it",
  "pin-needs-shop": "pin: a countersign needs the shop's network; go where there is some, and send it again",
};

/**
 * @param {string} path @param {FormData} body @param {string} field @param {keyof AWAY} away
 * @returns {Promise<any>}
 */
async function asked(path, body, field, away) {
  const headers = { Accept: "application/json" };
  const signal = AbortSignal.timeout(LIMIT_MS);
  const answer = await fetch(path, { method: "POST", body, headers, signal }).catch(() => null);
  if (!answer || answer.status >= 500) throw new NotAllowed(away, field, AWAY[away]);
  const told = await answer.json();
  if (answer.ok) return told;
  const Refused = answer.status === 403 ? NotAllowed : BadInput;
  throw new Refused(told.error.code, told.error.field, told.error.message);
}
