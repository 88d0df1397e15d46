/**
 * A drawing as it is drawn in another language, found by the drawing as it is in English: webapp/core/redrawn.py.
 *
 * Where a label needs more lines all the rest moves, so lines come with the letters where they differ.
 */

const LETTERING = '<g class="lettering"';
const SIZE = /viewBox="[^"]*"(?: data-frame="[^"]*")?/;
const OF_JOB = /<g data-of="job".*?<\/g>/g;

/**
 * The drawing as `drawn` has it; in English what it does not have.
 * @param {{svg: string, alt: string}} drawing @param {Record<string, string>} drawn
 */
export function redrawn({ svg, alt: before }, drawn) {
  const start = svg.indexOf('">') + 2;
  const end = svg.indexOf(LETTERING) < 0 ? svg.length : svg.indexOf(LETTERING);
  const alt = saidOf(before, drawn);
  const head = svg.slice(0, start).replace(escaped(before), () => escaped(alt));
  const [all, letters] = [svg.slice(start, end), svg.slice(end)];
  const ofJob = (all.match(OF_JOB) ?? []).join("");
  const lines = all.replace(OF_JOB, "");
  const found = drawn[crc32(lines) + letters] ?? letters;
  if (found.startsWith(LETTERING)) return { svg: head + lines + ofJob + found, alt };
  const size = SIZE.exec(found)?.[0] ?? "";
  const at = found.indexOf(LETTERING) < 0 ? found.length : found.indexOf(LETTERING);
  const resized = head.replace(SIZE, () => size);
  return { svg: resized + found.slice(size.length, at) + ofJob + found.slice(at), alt };
}

/**
 * Lines are of figures and signs alone, a byte each.
 * @param {string} text
 */
function crc32(text) {
  let rest = ~0;
  for (let at = 0; at < text.length; at++) {
    rest ^= text.charCodeAt(at);
    for (let bit = 0; bit < 8; bit++) rest = rest & 1 ? (rest >>> 1) ^ 0xedb88320 : rest >>> 1;
  }
  return (~rest >>> 0).toString(16);
}

/**
 * Sentence by sentence: which of them stand there hangs on the job.
 * @param {string} alt @param {Record<string, string>} drawn
 */
function saidOf(alt, drawn) {
  let made = "";
  for (let rest = alt; rest; ) {
    const fitting = Object.keys(drawn).filter((one) => rest.startsWith(one));
    const piece = fitting.reduce((longest, one) => (one.length > longest.length ? one : longest), "");
    if (!piece) return alt;
    made += drawn[piece];
    rest = rest.slice(piece.length);
  }
  return made;
}

/** @type {Record<string, string>} */
const ENTITIES = { "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#x27;" };

/** @param {string} text */
function escaped(text) {
  return text.replace(/[&<>"']/g, (sign) => ENTITIES[sign]);
}
