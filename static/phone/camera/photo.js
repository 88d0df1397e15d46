/** A photo of a code, read on the phone. */

import { decodersFor } from "./decoder.js";
import { still } from "./evidence.js";

/** Reduced first: that reads most photos, and is quick. Then larger, where a small code shows, and smaller, against noise. */
const SIDES_PX = [1600, 3200, 800];

/**
 * What the photo answers. Throws where the file is no picture, or no decoder can be had.
 * @param {File} file @param {import("./accept.js").Accept} accept
 * @returns {Promise<import("./evidence.js").Reading>}
 */
export async function readPhoto(file, accept) {
  const looks = [];
  let reading = still(looks, accept);
  for (const decode of await decodersFor(accept.formats)) {
    for (const side_px of SIDES_PX) {
      const picture = await createImageBitmap(file, { imageOrientation: "from-image" });
      looks.push((await decode(picture, side_px, true)).sights);
      reading = still(looks, accept);
      if (reading.finding === "several" || (reading.finding === "read" && reading.sure)) return reading;
    }
  }
  return reading;
}
