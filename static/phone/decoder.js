/**
 * The reader of codes as this phone keeps it: fetched once in quiet, or when it is first needed, then answered from the
 * phone. It is large and seldom changes, so it lies beside the app, named by its own hash.
 */

const { version, files } = self.APP.decoder;
const FILES = new Set(files);
const BEGINS = "decoder-";
const KEPT = `${BEGINS}${version}`;

/** @param {string} path */
export function isDecoder(path) {
  return FILES.has(path);
}

/** @param {string} path */
export async function decoderFile(path) {
  return (await caches.match(path, { cacheName: KEPT })) ?? (await keep(path));
}

/** @param {string} path */
async function keep(path) {
  const answer = await fetch(path, { cache: "no-cache" });
  if (answer.ok) await (await caches.open(KEPT)).put(path, answer.clone());
  return answer;
}

/** Have all of it here, before it is needed where there is no network. Tried again with the next sync. */
export async function keepDecoder() {
  const kept = await caches.open(KEPT);
  try {
    for (const path of FILES) if (!(await kept.match(path)) && !(await keep(path)).ok) return;
  } catch {
    return;
  }
  for (const name of await caches.keys()) if (name.startsWith(BEGINS) && name !== KEPT) await caches.delete(name);
}
