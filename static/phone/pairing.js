/** A phone gets its name from the shop, once: by a code that a supervisor made, and a key that never leaves the phone. */

import { read, write } from "./database.js";
import { Refused } from "./signed.js";

const LIMIT_MS = 15_000;

/**
 * Pair this phone; one that was paired before keeps its name and its journal. Throws Refused.
 * @param {string} code @param {string} name
 * @returns {Promise<string>} the phone's name at the shop
 */
export async function pair(code, name) {
  const before = await read("device", "me");
  const keys = before?.key ? before : await newKeys();
  const said = { code, name, key: keys.public, ...(before ? { device: before.id } : {}) };
  const headers = { "Content-Type": "application/json" };
  const signal = AbortSignal.timeout(LIMIT_MS);
  const answer = await fetch("/sync/pair", { method: "POST", body: JSON.stringify(said), headers, signal });
  const told = await answer.json();
  if (!answer.ok) throw new Refused(answer.status, told.error);
  const seq = Math.max(before?.seq ?? 0, told.highest);
  await write("device", { ...before, name: "me", id: told.device, seq, key: keys.key, public: keys.public });
  await navigator.storage?.persist?.(); // the phone's own page shows what the browser said to it
  return told.device;
}

async function newKeys() {
  const made = await crypto.subtle.generateKey({ name: "ECDSA", namedCurve: "P-256" }, false, ["sign", "verify"]);
  const { crv, kty, x, y } = await crypto.subtle.exportKey("jwk", made.publicKey);
  return { key: made.privateKey, public: { crv, kty, x, y } };
}
