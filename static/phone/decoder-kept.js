/** The reader of codes, brought here in quiet. */

import { BEGINS, FILES, fetched, KEPT } from "./decoder.js";

/** Have all of it here, before it is needed where there is no network. Tried again with the next sync. */
export async function keepDecoder() {
  const kept = await caches.open(KEPT);
  try {
    for (const path of FILES) if (!(await kept.match(path)) && !(await fetched(path)).ok) return;
  } catch {
    return;
  }
  for (const name of await caches.keys()) if (name.startsWith(BEGINS) && name !== KEPT) await caches.delete(name);
}
