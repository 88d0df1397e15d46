/**
 * What several looks add up to: at a moving picture, or at one photo. The first text is never simply taken: it must be
 * the only answer in sight, and be seen often enough to be believed (webapp/decode/evidence.py).
 */

/**
 * @typedef {{text: string, format: string}} Sight
 * @typedef {"looking" | "several" | "other" | "read"} Finding
 * @typedef {{finding: Finding, text: string, sure: boolean}} Reading
 */

/** These carry Reed-Solomon codes. Code 39 has no checksum, and Code 128's lets 1 in 103 by. */
const CORRECTING = ["qr_code", "data_matrix"];
/** A moving picture is judged by so many looks: a code that left the picture is soon forgotten. */
export const LOOKS_KEPT = 5;
const LOOKS_AGREEING = 2;
const LOOKS_OTHER = 4;

/** @type {Reading} */
const NOTHING = { finding: "looking", text: "", sure: false };
/** @type {Reading} */
const SEVERAL = { finding: "several", text: "", sure: false };

/**
 * The looks that saw each text that can be an answer, and each that cannot.
 * @param {Sight[][]} looks @param {import("./accept.js").Accept} accept
 */
function counted(looks, accept) {
  /** @type {Map<string, {looks: number, correcting: boolean}>} */
  const answers = new Map();
  /** @type {Map<string, number>} */
  const others = new Map();
  for (const look of looks) {
    const seen = new Set();
    for (const { text, format } of look) {
      const value = accept.value(text);
      const known = answers.get(value ?? "") ?? { looks: 0, correcting: false };
      const first = seen.has(value ?? text) ? 0 : 1;
      seen.add(value ?? text);
      if (value === null) others.set(text, (others.get(text) ?? 0) + first);
      else
        answers.set(value, { looks: known.looks + first, correcting: known.correcting || CORRECTING.includes(format) });
    }
  }
  return { answers, others };
}

/**
 * What a moving picture shows by its last looks. A text is taken once two looks agree and no look saw another answer:
 * the first look may have caught only one of two labels.
 * @param {Sight[][]} looks @param {import("./accept.js").Accept} accept
 * @returns {Reading}
 */
export function moving(looks, accept) {
  const { answers, others } = counted(looks, accept);
  if (answers.size > 1) return SEVERAL;
  for (const [text, seen] of answers) {
    return seen.looks < LOOKS_AGREEING ? NOTHING : { finding: "read", text, sure: true };
  }
  const steady = [...others.values()].some((seen) => seen >= LOOKS_OTHER);
  return steady ? { ...NOTHING, finding: "other" } : NOTHING;
}

/**
 * What all looks at one photo show. `sure` is false where a code without a checksum was seen in one look only. A photo
 * with nothing but one code that is no answer gives its text as "other".
 * @param {Sight[][]} looks @param {import("./accept.js").Accept} accept
 * @returns {Reading}
 */
export function still(looks, accept) {
  const { answers, others } = counted(looks, accept);
  if (answers.size > 1 || (!answers.size && others.size > 1)) return SEVERAL;
  for (const [text, seen] of answers) {
    const sure = seen.correcting || accept.provesItself(text) || seen.looks >= LOOKS_AGREEING;
    return { finding: "read", text, sure };
  }
  for (const text of others.keys()) return { finding: "other", text, sure: true };
  return NOTHING;
}
