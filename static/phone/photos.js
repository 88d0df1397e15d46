/** Photos go to the shop in pieces; after a break the server says where to go on. */

import { readAll, write } from "./database.js";
import { send } from "./signed.js";

const PIECE_BYTES = 500_000;

/** @param {import("./signed.js").Me} me */
export async function sendPhotos(me) {
  for (const photo of await readAll("photos", "unsent")) {
    await sendPhoto(me, photo);
    const { unsent: _sent, ...kept } = photo;
    await write("photos", kept);
  }
}

/** @param {import("./signed.js").Me} me @param {{sha256: string, blob: Blob}} photo */
async function sendPhoto(me, { sha256, blob }) {
  const path = `/sync/photos/${sha256}`;
  let answer = await send(me, "HEAD", path);
  while (answer.headers.get("Upload-Complete") !== "?1") {
    const offset = Number(answer.headers.get("Upload-Offset"));
    const piece = new Uint8Array(await blob.slice(offset, offset + PIECE_BYTES).arrayBuffer());
    const where = { "Upload-Offset": String(offset), "Upload-Length": String(blob.size) };
    answer = await send(me, "PATCH", path, piece, where);
  }
}
