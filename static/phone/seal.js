/**
 * A supervisor's PIN, sealed to the shop's key for one event, so that only the server can read and check it. The phone
 * keeps nothing that a PIN could be tried out on: the key that sealed it is forgotten at once.
 */

import { base64url } from "./signed.js";

const CURVE = { name: "ECDH", namedCurve: "P-256" };
const INFO = new TextEncoder().encode("baybook pin");

/**
 * As webapp/storage/seal.py opens it.
 * @param {JsonWebKey} shop @param {string} pin @param {string} event
 */
export async function seal(shop, pin, event) {
  const theirs = await crypto.subtle.importKey("jwk", shop, CURVE, false, []);
  const mine = await crypto.subtle.generateKey(CURVE, false, ["deriveBits"]);
  const agreed = await crypto.subtle.deriveBits({ name: "ECDH", public: theirs }, mine.privateKey, 256);
  const secret = await crypto.subtle.importKey("raw", agreed, "HKDF", false, ["deriveKey"]);
  const hkdf = { name: "HKDF", hash: "SHA-256", salt: new Uint8Array(), info: INFO };
  const key = await crypto.subtle.deriveKey(hkdf, secret, { name: "AES-GCM", length: 256 }, false, ["encrypt"]);
  const iv = crypto.getRandomValues(new Uint8Array(12));
  const additionalData = new TextEncoder().encode(event);
  const gcm = { name: "AES-GCM", iv, additionalData };
  const box = await crypto.subtle.encrypt(gcm, key, new TextEncoder().encode(pin));
  const { crv, kty, x, y } = await crypto.subtle.exportKey("jwk", mine.publicKey);
  return { key: { crv, kty, x, y }, iv: base64url(iv), box: base64url(new Uint8Array(box)) };
}
