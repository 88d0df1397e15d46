/**
 * The sheet: the steps of one job, fully resolved, frozen and named by what is in it.
 *
 * After a job has started nothing else is asked: not the procedures, not the specs, not the plan. So a later edit of a
 * procedure cannot change a running or a finished job, and a phone with the sheet can work alone.
 */

/** @import { Sheet } from "./types.js" */

export const FORMAT = 1;

/**
 * The one spelling of a JSON value that is hashed, the same in every language: RFC 8785. Throws TypeError for what is
 * no JSON.
 * @param {any} value
 * @returns {string}
 */
export function canonical(value) {
  if (Array.isArray(value)) return `[${value.map(canonical).join(",")}]`;
  if (typeof value === "object" && value !== null) {
    const parts = Object.keys(value).sort();
    return `{${parts.map((name) => `${JSON.stringify(name)}:${canonical(value[name])}`).join(",")}}`;
  }
  if (value === undefined || (typeof value === "number" && !Number.isFinite(value))) {
    throw new TypeError(`${value} is no JSON`);
  }
  return JSON.stringify(value);
}

/**
 * SHA-256 of the canonical JSON, in hexadecimal.
 * @param {Sheet} sheet
 * @param {(bytes: Uint8Array) => Promise<ArrayBuffer>} digest SHA-256
 */
export async function contentHash(sheet, digest) {
  const made = new Uint8Array(await digest(new TextEncoder().encode(canonical(sheet))));
  return [...made].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}
