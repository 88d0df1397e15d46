/** A code to be read off this phone's screen by another phone, and what a phone's key signs and proves. */

import { encode } from "../../vendor/uqr.mjs";
import { base64url } from "../signed.js";

/** @typedef {import("../../core/vouching.js").Key} Key */

/** Modules of white around it: readers ask for four, also where the page is dark. */
const QUIET = 4;
const SIGNING = { name: "ECDSA", hash: "SHA-256" };

/**
 * What the template draws: the side in modules, and the black ones as a path.
 * @param {string} text
 */
export function codeView(text) {
  const { size, data } = encode(text, { border: QUIET });
  const runs = data.flatMap((row, y) =>
    row.flatMap((black, x) => {
      if (!black || row[x - 1]) return [];
      const end = row.indexOf(false, x);
      return `M${x} ${y}h${(end < 0 ? size : end) - x}v1H${x}z`;
    }),
  );
  return { size: data.length, path: runs.join("") };
}

/** SHA-256 in base64url, as core/vouching.js names texts. @param {string} text */
export async function digest(text) {
  return base64url(new Uint8Array(await crypto.subtle.digest("SHA-256", new TextEncoder().encode(text))));
}

/**
 * What is said, a blank, and this phone's signature.
 * @param {CryptoKey} key @param {string} said
 */
export async function withSignature(key, said) {
  const mark = await crypto.subtle.sign(SIGNING, key, new TextEncoder().encode(said));
  return `${said} ${base64url(new Uint8Array(mark))}`;
}

/**
 * Whether whoever holds the key's other half has signed this.
 * @param {Key} key @param {string} said @param {string} signature
 */
export async function isSigned({ x, y }, said, signature) {
  const jwk = { kty: "EC", crv: "P-256", x, y };
  const theirs = await crypto.subtle.importKey("jwk", jwk, { name: "ECDSA", namedCurve: "P-256" }, false, ["verify"]);
  const mark = bytesOf(signature);
  return mark !== null && crypto.subtle.verify(SIGNING, theirs, mark, new TextEncoder().encode(said));
}

/** @param {string} text base64url */
function bytesOf(text) {
  try {
    return Uint8Array.from(atob(text.replace(/-/g, "+").replace(/_/g, "/")), (sign) => sign.charCodeAt(0));
  } catch {
    return null;
  }
}
