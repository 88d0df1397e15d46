/**
 * The text in a label's QR code, and printed beneath it: `BAY.K.CODE.C`.
 *
 * K says what the label is on, CODE which one it is, and C is an ISO/IEC 7064 MOD 37,36 check character over the
 * letters and digits of all that precedes it.
 */

import { BadInput, shown } from "./errors.js";
import { lengthOf, strip } from "./text.js";

/**
 * @typedef {"target" | "spot" | "bay" | "badge" | "test-label"} LabelKind
 * @typedef {{kind: LabelKind, code: string}} Label what a label is on, and its code
 */

/** @type {Record<LabelKind, string>} */
export const LETTER_OF = { target: "T", spot: "S", bay: "B", badge: "P", "test-label": "E" };
const KIND_OF = new Map(Object.entries(LETTER_OF).map(([kind, letter]) => [letter, /** @type {LabelKind} */ (kind)]));

export const MAKER = "BAY.";
export const LONGEST = 28;
const CODE = /^[A-Z0-9](?:[A-Z0-9-]{0,18}[A-Z0-9])?$/;
const TEXT = /^BAY\.([A-Z])\.([A-Z0-9](?:[A-Z0-9-]{0,18}[A-Z0-9])?)\.([A-Z0-9])$/;
const ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";

/**
 * The text to encode and print. Throws BadInput (label-code, label-kind) for a label that cannot be.
 * @param {Label} label
 */
export function labelText(label) {
  if (!Object.hasOwn(LETTER_OF, label.kind)) {
    const message = `kind=${shown(label.kind)} must be one of ${Object.keys(LETTER_OF).join(", ")}`;
    throw new BadInput("label-kind", "kind", message);
  }
  if (!CODE.test(label.code)) {
    const accepted = "1 to 20 of A-Z, 0-9 and hyphens, without a hyphen at either end";
    throw new BadInput("label-code", "code", `code=${shown(label.code)} must be ${accepted}`);
  }
  const body = `${MAKER}${LETTER_OF[label.kind]}.${label.code}`;
  return `${body}.${checkCharacter(body)}`;
}

/**
 * The label that a scanned or typed text stands for; case and surrounding blanks do not matter.
 *
 * Throws BadInput: not-text, label-empty, label-not-ours, label-too-long, label-garbled, label-check-character.
 * @param {unknown} text
 * @returns {Label}
 */
export function readLabel(text, field = "text") {
  if (typeof text !== "string") throw new BadInput("not-text", field, `${field}=${shown(text)} must be text`);
  const plain = strip(text).replace(/[a-z]+/g, (found) => found.toUpperCase());
  if (!plain) throw new BadInput("label-empty", field, `${field} is empty: scan the label again`);
  if (!plain.startsWith(MAKER)) {
    throw new BadInput("label-not-ours", field, `${field}=${shown(text)} must be a label of this shop (${MAKER}…)`);
  }
  if (lengthOf(plain) > LONGEST) {
    const message = `${field}=${shown(text)} must be a label of this shop, at most ${LONGEST} characters`;
    throw new BadInput("label-too-long", field, message);
  }
  return parsed(plain, field);
}

/**
 * The code of a person's badge. Throws BadInput as `readLabel` does, or `badge-other-kind`.
 * @param {unknown} text
 */
export function readBadge(text, whose = "your own") {
  const label = readLabel(text, "badge");
  if (label.kind === "badge") return label.code;
  const message = `badge=${label.code} is a ${label.kind}'s label; scan ${whose} badge`;
  throw new BadInput("badge-other-kind", "badge", message);
}

/**
 * @param {string} plain @param {string} field
 * @returns {Label}
 */
function parsed(plain, field) {
  const [, letter, code, check] = TEXT.exec(plain) ?? [];
  const kind = KIND_OF.get(letter);
  if (kind === undefined) {
    throw new BadInput("label-garbled", field, `${field}=${shown(plain)} must read BAY.K.CODE.C: scan it again`);
  }
  if (check !== checkCharacter(plain.slice(0, -2))) {
    const message = `${field}=${shown(plain)} has the check character ${check}, which does not fit: scan or type it again`;
    throw new BadInput("label-check-character", field, message);
  }
  return { kind, code };
}

/**
 * The hybrid system MOD 37,36 of ISO/IEC 7064.
 * @param {string} body
 */
function checkCharacter(body) {
  let product = 36;
  for (const character of body.replace(/[^A-Z0-9]/g, "")) {
    const sum = (product + ALPHABET.indexOf(character)) % 36 || 36;
    product = (sum * 2) % 37;
  }
  return ALPHABET[(37 - product) % 36];
}
