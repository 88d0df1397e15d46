/**
 * A light JPEG as the camera took it, without what the camera wrote beside the picture: place, time, owner, a second
 * picture, a moving one. Not a pixel is changed, and a tap waits a tenth of the time that it takes to draw it anew.
 *
 * What is kept is what it takes to show it: tables, frame and scans (ITU-T T.81, annex B), what tells its colours (JFIF,
 * an ICC profile, Adobe's note of their order), and which way up it is (Exif, tag 0x0112).
 */

/** About as much as one that is drawn anew has at most. */
const MOST_BYTES = 2_000_000;
const MOST_PIXELS = 20_000_000;

const SOI = 0xd8;
const EOI = 0xd9;
const SOS = 0xda;
const EXIF = 0xe1;
const FRAMES = [0xc0, 0xc1, 0xc2]; // baseline, extended and progressive: what every browser shows
const TABLES = [0xc4, 0xdb, 0xdd];
const BESIDE = [0xe0, 0xe1, 0xe2, 0xe3, 0xe4, 0xe5, 0xe6, 0xe7, 0xe8, 0xe9, 0xea, 0xeb, 0xec, 0xed, 0xee, 0xef, 0xfe];
const JFIF_BYTES = 18; // one that is longer carries a picture of its own
const ADOBE_BYTES = 16;

const ORIENTATION = 0x0112;
const UPRIGHT = 1;
const LITTLE_ENDIAN = 0x4949;

/** @typedef {{marker: number, bytes: Uint8Array<ArrayBuffer>}} Segment from its marker up to the next one */

/**
 * The picture alone; null where it is heavy, or no JPEG that this can be told of: then it is to be drawn anew.
 * @param {Blob} file
 * @returns {Promise<ArrayBuffer?>}
 */
export async function asTaken(file) {
  if (file.size > MOST_BYTES) return null;
  const segments = segmentsOf(new Uint8Array(await file.arrayBuffer()));
  if (!segments || !isShownEverywhere(segments)) return null;
  const exif = segments.find(isExif);
  const turned = exif ? orientationIn(exif.bytes) : UPRIGHT;
  if (turned === null) return null;
  const kept = segments.filter(isOfPicture).map(({ bytes }) => bytes);
  const about = turned === UPRIGHT ? [] : [exifOf(turned)];
  return joined([Uint8Array.of(0xff, SOI), ...about, ...kept, Uint8Array.of(0xff, EOI)]);
}

/** @param {Uint8Array[]} parts */
function joined(parts) {
  const whole = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole.buffer;
}

/**
 * Its segments up to the picture's end; null where they do not follow one another so.
 * @param {Uint8Array<ArrayBuffer>} picture
 * @returns {Segment[]?}
 */
function segmentsOf(picture) {
  if (picture[0] !== 0xff || picture[1] !== SOI) return null;
  const found = [];
  let at = 2;
  while (picture[at] === 0xff) {
    const marker = picture[at + 1];
    if (marker === EOI) return found;
    if (![...FRAMES, ...TABLES, ...BESIDE, SOS].includes(marker)) return null;
    const after = at + 2 + (picture[at + 2] << 8) + picture[at + 3];
    const end = marker === SOS ? endOfScan(picture, after) : after;
    found.push({ marker, bytes: picture.subarray(at, end) });
    at = end;
  }
  return null;
}

/**
 * Within a scan 0xff is followed by 0, or is a restart (RST0 to RST7).
 * @param {Uint8Array} picture @param {number} begin
 */
function endOfScan(picture, begin) {
  const isWithin = (/** @type {number} */ marker) => marker === 0 || (marker >= 0xd0 && marker <= 0xd7);
  let at = picture.indexOf(0xff, begin);
  while (at >= 0 && isWithin(picture[at + 1])) at = picture.indexOf(0xff, at + 2);
  return at < 0 ? picture.length : at;
}

/** One frame of 8 bits in grey or three colours, its size told, and a scan after it. @param {Segment[]} segments */
function isShownEverywhere(segments) {
  const frames = segments.filter(({ marker }) => FRAMES.includes(marker));
  if (frames.length !== 1 || segments.at(-1)?.marker !== SOS) return false;
  const [bits, high, low, wide, narrow, colours] = frames[0].bytes.subarray(4);
  const pixels = ((high << 8) + low) * ((wide << 8) + narrow);
  return bits === 8 && pixels > 0 && pixels <= MOST_PIXELS && (colours === 1 || colours === 3);
}

/** @param {Segment} segment */
function isOfPicture({ marker, bytes }) {
  if (!BESIDE.includes(marker)) return true;
  if (marker === 0xe0) return begins(bytes, "JFIF\0") && bytes.length === JFIF_BYTES;
  if (marker === 0xe2) return begins(bytes, "ICC_PROFILE\0");
  return marker === 0xee && begins(bytes, "Adobe") && bytes.length === ADOBE_BYTES;
}

/** @param {Segment} segment */
function isExif({ marker, bytes }) {
  return marker === EXIF && begins(bytes, "Exif\0\0");
}

/** @param {Uint8Array} bytes @param {string} name */
function begins(bytes, name) {
  return [...name].every((letter, index) => bytes[4 + index] === letter.charCodeAt(0));
}

/**
 * Which way up a picture is, 1 to 8; null where that cannot be read.
 * @param {Uint8Array<ArrayBuffer>} segment
 */
function orientationIn(segment) {
  const tiff = new DataView(segment.buffer, segment.byteOffset + 10, segment.length - 10);
  try {
    const little = tiff.getUint16(0) === LITTLE_ENDIAN;
    const first = tiff.getUint32(4, little);
    const entries = Array.from({ length: tiff.getUint16(first, little) }, (_, index) => first + 2 + 12 * index);
    const told = entries.find((entry) => tiff.getUint16(entry, little) === ORIENTATION);
    const turned = told === undefined ? UPRIGHT : tiff.getUint16(told + 8, little);
    return turned >= 1 && turned <= 8 ? turned : null;
  } catch {
    return null; // it points beyond its own end
  }
}

/** The one tag, and nothing else. @param {number} turned */
function exifOf(turned) {
  const head = [0xff, EXIF, 0, 34, ...new TextEncoder().encode("Exif\0\0MM\0*")];
  return Uint8Array.from([...head, 0, 0, 0, 8, 0, 1, 0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, turned, 0, 0, 0, 0, 0, 0]);
}
