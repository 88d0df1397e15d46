/**
 * The app's files as this phone keeps them: those of one version, in a cache of their own.
 *
 * While one version settles in, another may be on its way already, under the same name even where the shop went back to
 * an older one. So nobody clears up while files are being fetched, nor while a version waits that will need its own.
 */

import { BEGINS, FILES, KEPT } from "./file.js";

const LOCK = "baybook-files";

/** Whatever is missing of them, all or none. */
export function keepFiles() {
  return navigator.locks.request(LOCK, async () => {
    const kept = await caches.open(KEPT);
    await kept.addAll((await missing()).map((path) => new Request(path, { cache: "reload" })));
  });
}

async function missing() {
  const kept = await (await caches.open(KEPT)).keys();
  const here = new Set(kept.map(({ url }) => new URL(url).pathname));
  return [...FILES].filter((path) => !here.has(path));
}

/** Whether another version has its files here, and comes when nobody is at work. */
export async function isAnotherHere() {
  return (await caches.keys()).some((name) => name.startsWith(BEGINS) && name !== KEPT);
}

/** Once this version runs, the files of those before it go; or later, with the one that is coming. */
export function clearFiles() {
  return navigator.locks.request(LOCK, { ifAvailable: true }, async (lock) => {
    const { installing, waiting } = /** @type {any} */ (self).registration;
    if (!lock || installing || waiting) return;
    for (const name of await caches.keys()) {
      if (name.startsWith(BEGINS) && name !== KEPT) await caches.delete(name);
    }
  });
}

/**
 * A system may take files away, or a battery die while they were written: they are fetched again, where the shop still
 * has this very version. Tried again with the next sync.
 */
export async function mendFiles() {
  try {
    if (!(await missing()).length) return;
    const { version } = await (await fetch("/app.json", { cache: "no-store" })).json();
    if (version === self.APP.version) await keepFiles();
  } catch {
    // The shop is out of reach: what is missing stays missing until it is not.
  }
}
