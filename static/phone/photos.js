/** Photos go to the shop in pieces; after a break the server says where to go on. */

import { ask, readAll, transact, write } from "./database.js";
import { pictureOf } from "./picture.js";
import { send } from "./signed.js";
import { isAway } from "./why.js";

const PIECE_BYTES = 500_000;

/**
 * Photos wait for nothing but their own event; one that the shop refuses does not keep the others.
 * @param {import("./signed.js").Me} me
 */
export async function sendPhotos(me) {
  /** @type {unknown} */
  let refused = null;
  for (const photo of await readAll("photos", "unsent")) {
    try {
      await sendPhoto(me, photo);
      await done(photo.sha256);
    } catch (error) {
      if (isAway(error)) throw error;
      refused ??= error;
    }
  }
  if (refused) throw refused;
}

/** @param {import("./signed.js").Me} me @param {import("./tap.js").Photo} photo */
async function sendPhoto(me, photo) {
  const { sha256 } = photo;
  const blob = pictureOf(photo);
  const path = `/sync/photos/${sha256}`;
  let answer = await send(me, "HEAD", path);
  while (answer.headers.get("Upload-Complete") !== "?1") {
    const offset = Number(answer.headers.get("Upload-Offset"));
    await write("sync", { name: `photo ${sha256}`, sent_bytes: offset });
    const piece = new Uint8Array(await blob.slice(offset, offset + PIECE_BYTES).arrayBuffer());
    const where = { "Upload-Offset": String(offset), "Upload-Length": String(blob.size) };
    answer = await send(me, "PATCH", path, piece, where);
  }
}

/** @param {string} sha256 */
function done(sha256) {
  return transact(["photos", "sync"], "readwrite", async (transaction) => {
    const photos = transaction.objectStore("photos");
    const { unsent: _sent, ...kept } = await ask(photos.get(sha256));
    photos.put(kept);
    transaction.objectStore("sync").delete(`photo ${sha256}`);
  });
}
