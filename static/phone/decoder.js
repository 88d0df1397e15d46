/**
 * The reader of codes as this phone keeps it: fetched once in quiet, or when it is first needed, then answered from the
 * phone. It is large and seldom changes, so it lies beside the app, named by its own hash.
 */

const { version, files } = self.APP.decoder;
export const FILES = new Set(files);
export const BEGINS = "decoder-";
export const KEPT = `${BEGINS}${version}`;

/** @param {string} path */
export function isDecoder(path) {
  return FILES.has(path);
}

/** @param {string} path */
export async function decoderFile(path) {
  return (await caches.match(path, { cacheName: KEPT })) ?? (await fetched(path));
}

/** Fetched, and kept from now on. @param {string} path */
export async function fetched(path) {
  const answer = await fetch(path, { cache: "no-cache" });
  if (answer.ok) await (await caches.open(KEPT)).put(path, answer.clone());
  return answer;
}
