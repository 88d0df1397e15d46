/*
 * The decoder, beside the page: a picture comes in, the codes in it go out. It comes from the shop once and is then
 * kept on the phone; only this worker may compile it (webapp/web/guard.py).
 */

import { prepareZXingModule, readBarcodes } from "../../vendor/zxing/reader/index.js";

const WASM = "/static/vendor/zxing/zxing_reader.wasm";
const NAMES = { qr_code: "QRCode", data_matrix: "DataMatrix", code_39: "Code39", code_128: "Code128" };
const FORMAT_OF = Object.fromEntries(Object.entries(NAMES).map(([format, name]) => [name, format]));
const MOST_CODES = 8;
/** A picture without one pixel brighter than this (of 255) is black: a covered camera, or one that gives no picture. */
const BLACK = 24;
const SAMPLED_EVERY = 4 * 97;

prepareZXingModule({ overrides: { locateFile: () => WASM } });

self.addEventListener("message", async ({ data: { id, picture, side_px, formats, thorough } }) => {
  try {
    const image = pixels(picture, side_px);
    const found = await readBarcodes(image, {
      formats: formats.map((/** @type {keyof typeof NAMES} */ one) => NAMES[one]),
      tryHarder: thorough,
      maxNumberOfSymbols: MOST_CODES,
      textMode: "Plain",
    });
    const sights = found
      .filter((one) => one.isValid)
      .map(({ text, symbology }) => ({ text, format: FORMAT_OF[symbology] }));
    self.postMessage({ id, sights, black: isBlack(image) });
  } catch (error) {
    self.postMessage({ id, error: String(error) });
  }
});

/** The picture's pixels, no side longer than so many. */
function pixels(picture, side_px) {
  const scale = Math.min(1, side_px / Math.max(picture.width, picture.height));
  const canvas = new OffscreenCanvas(Math.round(picture.width * scale), Math.round(picture.height * scale));
  const drawing = canvas.getContext("2d", { willReadFrequently: true });
  drawing.drawImage(picture, 0, 0, canvas.width, canvas.height);
  picture.close();
  return drawing.getImageData(0, 0, canvas.width, canvas.height);
}

function isBlack({ data }) {
  for (let at = 1; at < data.length; at += SAMPLED_EVERY) if (data[at] > BLACK) return false;
  return true;
}
