/** A phone gets its name from the shop, once: by a code that a supervisor made, and a key that never leaves the phone. */

import { ask, read, transact } from "./database.js";
import { Refused } from "./signed.js";

const LIMIT_MS = 15_000;
const ANSWER_MS = 5_000;

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
  await transact(["device"], "readwrite", async (transaction) => {
    const kept = transaction.objectStore("device");
    const now = await ask(kept.get("me")); // a tap in another window may have counted on meanwhile
    const seq = Math.max(now?.seq ?? 0, told.highest);
    const tail = seq === now?.seq ? now.tail : { seq, sha256: told.head };
    kept.put({ ...now, name: "me", id: told.device, seq, tail, key: keys.key, public: keys.public });
  });
  await askToKeep();
  return told.device;
}

/**
 * Ask that what lies here is not cleared away; the phone's own page shows what came of it. One engine asks its user, who
 * may not answer: nothing hangs on that.
 */
function askToKeep() {
  const asked = Promise.resolve(navigator.storage?.persist?.()).catch(() => false);
  return Promise.race([asked, new Promise((resolve) => setTimeout(resolve, ANSWER_MS))]);
}

async function newKeys() {
  const made = await crypto.subtle.generateKey({ name: "ECDSA", namedCurve: "P-256" }, false, ["sign", "verify"]);
  const { crv, kty, x, y } = await crypto.subtle.exportKey("jwk", made.publicKey);
  return { key: made.privateKey, public: { crv, kty, x, y } };
}
