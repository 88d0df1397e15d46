/**
 * Pictures in, codes out: by the platform's own detector where it knows all that is asked for, else by the decoder in
 * WebAssembly, in a worker of its own.
 */

/**
 * @typedef {import("./accept.js").Format} Format
 * @typedef {import("./evidence.js").Sight} Sight
 * @typedef {{sights: Sight[], black: boolean}} Look
 * @typedef {(picture: ImageBitmap, side_px: number, thorough: boolean) => Promise<Look>} Decode takes the picture over
 */

/**
 * Every decoder this phone has for these formats, the quickest first.
 * @param {Format[]} formats
 * @returns {Promise<Decode[]>}
 */
export async function decodersFor(formats) {
  const platform = await platformDecoder(formats);
  return platform ? [platform, ownDecoder(formats)] : [ownDecoder(formats)];
}

/**
 * @param {Format[]} formats
 * @returns {Promise<Decode?>}
 */
async function platformDecoder(formats) {
  const Detector = globalThis.BarcodeDetector;
  const known = Detector ? await Detector.getSupportedFormats().catch(() => []) : [];
  if (!formats.every((one) => known.includes(one))) return null;
  const detector = new Detector({ formats });
  return async (picture) => {
    try {
      const found = await detector.detect(picture);
      return { sights: found.map(({ rawValue, format }) => ({ text: rawValue, format })), black: false };
    } finally {
      picture.close();
    }
  };
}

/** @type {Worker?} */
let worker = null;
/** @type {Map<number, {resolve: (look: Look) => void, reject: (error: Error) => void}>} */
const waiting = new Map();
let asked = 0;

/**
 * @param {Format[]} formats
 * @returns {Decode}
 */
function ownDecoder(formats) {
  return (picture, side_px, thorough) =>
    new Promise((resolve, reject) => {
      worker ??= startWorker();
      asked += 1;
      waiting.set(asked, { resolve, reject });
      worker.postMessage({ id: asked, picture, side_px, formats, thorough }, [picture]);
    });
}

function startWorker() {
  const made = new Worker("/static/app/reader/worker.js");
  made.addEventListener("message", ({ data: { id, error, ...look } }) => {
    const asker = waiting.get(id);
    waiting.delete(id);
    if (error) asker?.reject(new Error(error));
    else asker?.resolve(look);
    if (error) giveUp(error);
  });
  made.addEventListener("error", () => giveUp("the decoder did not load"));
  return made;
}

/** What could not load is tried from the beginning the next time. @param {string} why */
function giveUp(why) {
  worker?.terminate();
  worker = null;
  for (const { reject } of waiting.values()) reject(new Error(why));
  waiting.clear();
}
