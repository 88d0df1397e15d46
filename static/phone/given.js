/** What comes with a tap: the form's fields, a photo made ready and named, a supervisor's PIN sealed for the shop. */

import { BadInput, NotAllowed } from "../core/errors.js";
import { readBadge } from "../core/labels.js";
import { read } from "./database.js";
import { postForm } from "./forms.js";
import { seal } from "./seal.js";
import { sha256 as hashOf } from "./signed.js";
import { needRoom, PHOTO_SPARE_BYTES } from "./space.js";
import { asTaken } from "./taken.js";

const LONGEST_PX = 2560;
const QUALITY = 0.85;
const MEDIA = "image/jpeg";
const LONGEST_NAME = 80;
const PHOTO_LIMIT_MS = 10_000;
const PIN_LIMIT_MS = 3_000;

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
  delete given.token;
  delete given.sha256; // what names a kept photo is ours to say, not a form's
  delete given.media;
  const file = form.get("photo");
  return { given, file: file instanceof File && file.name ? file : null };
}

/**
 * The photo to keep with a photo step, without what the camera wrote beside the picture: a light one as it was taken, and
 * else as the server keeps one, upright and at most 2560 pixels long. `given` is told its name.
 * @param {Record<string, string>} given @param {File?} file
 * @returns {Promise<import("./tap.js").Photo?>}
 */
export async function photoOf(given, file) {
  if (!file || given.do !== "photo") return null;
  if (!file.size) {
    throw new BadInput("photo-empty", "photo", "photo is empty (0 bytes): take or choose the photo again");
  }
  const bytes = (await asTaken(file)) ?? (await drawnAnew(file));
  const room = needRoom(bytes.byteLength + PHOTO_SPARE_BYTES, "photo");
  const [sha256] = await Promise.all([hashOf(bytes), room]);
  Object.assign(given, { sha256, media: MEDIA });
  return { sha256, media: MEDIA, bytes };
}

/** @param {File} file */
async function drawnAnew(file) {
  const picture = await createImageBitmap(file, { imageOrientation: "from-image" }).catch(() => {
    const message = "photo is not an image this phone can open: take it with the phone's own camera";
    throw new BadInput("photo-not-an-image", "photo", message);
  });
  const scale = Math.min(1, LONGEST_PX / Math.max(picture.width, picture.height));
  const canvas = new OffscreenCanvas(Math.round(picture.width * scale), Math.round(picture.height * scale));
  canvas.getContext("2d")?.drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  const drawn = await canvas.convertToBlob({ type: MEDIA, quality: QUALITY });
  return drawn.arrayBuffer();
}

/**
 * On a scan step the label in a photo becomes the text. The page has tried to read it; the shop's server looks longer.
 * @param {Record<string, string>} given @param {File?} file
 */
export async function readLabelIn(given, file) {
  if (!file || given.do !== "scan") return;
  const answer = await asked("/phone/label", { photo: file }, PHOTO_LIMIT_MS);
  if (!answer) {
    const message =
      "photo: no label could be read in it here, and the shop's server cannot be reached; come closer, or type the label";
    throw new NotAllowed("photo-needs-shop", "photo", message);
  }
  Object.assign(given, { text: answer.text, via: "photo" });
}

/**
 * The VIN in a photo, and whether it was read surely enough to be taken without a look at the vehicle.
 * @param {File} file
 * @returns {Promise<{text: string, sure: boolean}>}
 */
export async function vinIn(file) {
  const answer = await asked("/phone/vin", { photo: file }, PHOTO_LIMIT_MS);
  if (answer) return answer;
  const message = "photo: the shop's server reads the VIN in it and cannot be reached; scan or type the VIN";
  throw new NotAllowed("photo-needs-shop", "photo", message);
}

/**
 * The supervisor whose badge and PIN the form carries, and the PIN sealed for the server, which checks it when the
 * event arrives. Until then the countersign is provisional. Where the server can be reached at once, it is asked at
 * once, so that a slip of the finger is seen here.
 * @param {Record<string, string>} given @param {string} event
 * @returns {Promise<{witness: import("../core/types.js").Person?, seal: object?, checked?: boolean}>}
 */
export async function witnessOf({ badge, pin }, event) {
  if (!badge && !pin) return { witness: null, seal: null };
  const shelf = await read("shelf", "shelf");
  const code = readBadge(badge ?? "", "the supervisor's");
  const known = shelf?.people?.[code];
  if (!known || !shelf.sealing_key) {
    const message = `badge=${code} is no badge that this phone knows; scan the supervisor's badge`;
    throw new BadInput("badge-unknown", "badge", message);
  }
  if (!pin) throw new NotAllowed("pin-wrong", "pin", `pin is not that of ${known.name}; the supervisor types it again`);
  const checked = (await asked("/phone/witness", { badge, pin }, PIN_LIMIT_MS)) !== null;
  const sealed = await seal(shelf.sealing_key, pin, event);
  return { witness: { code, role: known.role, name: known.name }, seal: sealed, checked };
}

/**
 * What the server says; null where it cannot be reached in time. Throws what the server refuses.
 * @param {string} path @param {Record<string, string | File>} fields @param {number} limit_ms
 * @returns {Promise<any>}
 */
async function asked(path, fields, limit_ms) {
  const answer = await postForm(path, fields, limit_ms).catch(() => null);
  if (!answer || answer.status >= 500) return null;
  const told = await answer.json();
  if (answer.ok) return told;
  const Refused = answer.status === 403 ? NotAllowed : BadInput;
  throw new Refused(told.error.code, told.error.field, told.error.message);
}
