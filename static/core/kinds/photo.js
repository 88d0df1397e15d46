/** photo: a picture kept with the record, named by its SHA-256. */

import { BadInput } from "../errors.js";
import { ended, heldAfter } from "./common.js";

/** @import { Records, Settles } from "../types.js" */

/**
 * Throws BadInput `photo-missing` where no stored picture is named.
 * @type {Records}
 */
export function record(step, _was, given, moment) {
  const sha256 = given.sha256 ?? "";
  if (!/^[0-9a-f]{64}$/.test(sha256)) {
    const message = "photo is empty; take a picture or choose a file, then send it";
    throw new BadInput("photo-missing", "photo", message);
  }
  return ["photographed", { sha256, media: given.media ?? "image/jpeg", held: heldAfter(step, moment) }];
}

/** @type {Settles} */
export function settle(_step, was, event) {
  return ended(was, event, { photos: [...was.photos, event.data.sha256] });
}
