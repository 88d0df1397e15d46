/** A file of the app, as this phone keeps it. How they come and go is in files.js. */

export const BEGINS = "baybook-";
export const KEPT = `${BEGINS}${self.APP.version}`;
export const FILES = new Set(self.APP.files);

/** @param {string} path */
export function isFile(path) {
  return FILES.has(path);
}

/** @param {string} path */
export async function file(path) {
  return (await caches.match(path, { cacheName: KEPT })) ?? fetch(path);
}
