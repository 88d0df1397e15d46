/** What can be wrong with the phone's own storage, told apart and told plainly. */

import { Unavailable } from "../core/errors.js";

/** The phone's own storage cannot be used: why in `code`, and what to do in `message`. */
export class StorageTrouble extends Unavailable {}

/** @type {Record<string, string>} */
const TROUBLES = {
  "storage-full":
    "this phone's storage is full: nothing of it was kept. Free some space on the phone, then do it again",
  "storage-newer":
    "this phone's storage was written by a newer version of the app: load the page again to fetch that one",
  "storage-refused": "this browser refuses to keep anything: allow this site to store data, and use no private window",
  "storage-unreadable":
    "this phone's storage cannot be read or written. Free some space if the phone is full, then close the app and open it again; restart the phone if it stays so",
};

const LOST = ["InvalidStateError", "UnknownError", "AbortError"];
const OTHERS = [
  "QuotaExceededError",
  "VersionError",
  "SecurityError",
  "NotFoundError",
  "NotReadableError",
  "DataError",
];

/**
 * The connection was lost, which a system may do at any time: open it again.
 * @param {unknown} error @returns {error is DOMException}
 */
export function isLost(error) {
  return error instanceof DOMException && LOST.includes(error.name);
}

/** @param {unknown} error @returns {error is DOMException} */
export function isOfStorage(error) {
  return isLost(error) || (error instanceof DOMException && OTHERS.includes(error.name));
}

/**
 * One engine tells a full disk by its own file system's word for it.
 * @param {DOMException} error
 */
export function isFull({ name, message }) {
  return name === "QuotaExceededError" || /no_space|full disk/i.test(message);
}

/** @param {DOMException} error @param {boolean} full whether the disk was full when it was last written */
export function troubleOf(error, full) {
  const code = isLost(error) && full ? "storage-full" : codeOf(error);
  return new StorageTrouble(code, "storage", TROUBLES[code]);
}

/** @param {DOMException} error */
function codeOf({ name }) {
  if (name === "QuotaExceededError") return "storage-full";
  if (name === "VersionError") return "storage-newer";
  return name === "SecurityError" ? "storage-refused" : "storage-unreadable";
}
