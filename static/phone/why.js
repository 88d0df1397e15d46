/** Why bringing the journal home did not work, so that it can be told in plain words. */

import { Refused } from "./signed.js";
import { StorageTrouble } from "./trouble.js";

/** @typedef {{code: string, message: string}} Why `message` is what the server or the browser said itself */

/**
 * @param {unknown} error
 * @returns {Why}
 */
export function whyOf(error) {
  const message = error instanceof Error ? error.message : String(error);
  if (error instanceof Refused) return { code: KNOWN.includes(error.code) ? error.code : "refused", message };
  if (error instanceof StorageTrouble) return { code: "storage", message };
  if (error instanceof DOMException && error.name === "TimeoutError") return { code: "timeout", message };
  // A browser tells a script neither of a network that is gone nor of a certificate that it does not trust.
  if (error instanceof TypeError && / fetch|network|load failed/i.test(` ${message}`)) {
    return { code: navigator.onLine ? "unreachable" : "offline", message };
  }
  return { code: "fault", message };
}

/** Refusals of the server that ask for something in particular of whoever has the phone. */
const KNOWN = ["device-revoked", "device-unknown", "signature-wrong"];

/** Nothing else can be asked of the shop in this run. @param {unknown} error */
export function isAway(error) {
  return ["timeout", "unreachable", "offline", ...KNOWN].includes(whyOf(error).code);
}
