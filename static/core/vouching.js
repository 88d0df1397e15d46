/**
 * A countersign from phone to phone, without the shop: what the one asks, what the other answers, each a code's text.
 *
 * The ask names the event that it is for, the step, and by `stands` what was done there (standing.js); the answer names
 * the ask's text by its digest and is signed with the key of the phone that gives it. Both texts go into the event as they
 * were read, so that nobody spells them anew. So an answer counts for one event, at one step as it stood, and for nothing
 * else.
 * Digests are SHA-256 in base64url without padding; texts are ASCII, since readers guess at any other letters.
 */

import { BadInput, NotAllowed, shown } from "./errors.js";

/**
 * @typedef {{event: string, job: string, step: string, stands: string, doer: string, order: string, vehicle: string,
 *   do: string, told: string[]}} Ask `event` is the id of the event to come; `stands` the digest of `standing`; `doer`
 *   the badge of whose work it is. The rest is for whoever reads it on a phone that does not hold the job: the step's
 *   sentence in English, and what was answered and read there, in words
 * @typedef {{ask: string, by: string, verdict: string, reason: string, at: string, device: string, sign_in: string}}
 *   Answer `ask` is the digest of the ask's text; `verdict` accepted or returned; `sign_in` under which `by` has the phone
 * @typedef {{name: string, x: string, y: string}} Key
 */

const ASK = "baybook-ask-1";
const ANSWER = "baybook-answer-1";
/** @type {Record<string, string>} */
export const DO_OF = { accepted: "countersign", returned: "return" };
/** @type {Record<string, string>} */
const KIND_OF = { accepted: "countersigned", returned: "returned" };
/** What the 13th version of a code holds: 69 modules a side, which a phone reads off another's screen at once. */
const LONGEST_ASK = 425;
const LONGEST_REASON = 160;
const LONGEST_READ = 4_000;
export const CUT = "...";

const BEYOND_ASCII = /[\u007f-\uffff]/g;

/** @param {unknown} value */
function code(value) {
  return JSON.stringify(value).replace(
    BEYOND_ASCII,
    (sign) => `\\u${sign.charCodeAt(0).toString(16).padStart(4, "0")}`,
  );
}

/** Whether a text could be an ask, or an answer: what a camera looks for. @param {string} text */
export const isAsk = (text) => text.startsWith(`["${ASK}",`);

/** @param {string} text */
export const isAnswer = (text) => text.startsWith(`["${ANSWER}",`);

/**
 * The text for the code. What does not fit is cut off, the last that was told first, and `CUT` says so.
 * @param {Ask} ask
 */
export function askText(ask) {
  const { event, job, step, stands, doer, order, vehicle } = ask;
  const told = [...ask.told];
  const whole = [...ask.do];
  const letters = [...whole];
  for (;;) {
    const sentence = letters.join("") + (letters.length < whole.length ? CUT : "");
    const kept = told.length < ask.told.length ? [...told, CUT] : told;
    const text = code([ASK, event, job, step, stands, doer, order, vehicle, sentence, kept]);
    if (text.length <= LONGEST_ASK) return text;
    if (told.length) told.pop();
    else if (letters.length) letters.pop();
    else return text;
  }
}

/**
 * Throws BadInput (`ask-unreadable`).
 * @param {string} text @param {string} [field]
 * @returns {Ask}
 */
export function readAsk(text, field = "asked") {
  const found = parts(text, ASK, 10);
  if (!Array.isArray(found?.[9]) || !found[9].every(isText)) {
    const message = `${field} is not the code of a step that waits; scan it from your colleague's phone again`;
    throw new BadInput("ask-unreadable", field, message);
  }
  const [, event, job, step, stands, doer, order, vehicle, sentence, told] = found;
  return { event, job, step, stands, doer, order, vehicle, do: sentence, told };
}

/**
 * What is signed. Throws BadInput (`reason-too-long`) for a reason that makes the code too large to be read.
 * @param {Answer} answer
 */
export function answerSaid({ ask, by, verdict, reason, at, device, sign_in }) {
  const over = code(reason).length - 2 - LONGEST_REASON;
  if (over > 0) {
    const message = `reason is too long for the code by ${over}; say it shorter`;
    throw new BadInput("reason-too-long", "reason", message);
  }
  return code([ANSWER, ask, by, verdict, reason, at, device, sign_in]);
}

/**
 * The answer, what of it was signed, and the signature in base64url. Throws BadInput (`answer-unreadable`).
 * @param {string} text @param {string} [field]
 * @returns {[Answer, string, string]}
 */
export function readAnswer(text, field = "answer") {
  const cut = text.lastIndexOf(" ");
  const [said, signature] = [text.slice(0, Math.max(cut, 0)), text.slice(cut + 1)];
  const found = parts(said, ANSWER, 8);
  if (!isText(found?.[7]) || !Object.hasOwn(KIND_OF, found[3]) || !signature) {
    const message = `${field} is not a supervisor's answer; scan the code that their phone shows now`;
    throw new BadInput("answer-unreadable", field, message);
  }
  const [, ask, by, verdict, reason, at, device, sign_in] = found;
  return [{ ask, by, verdict, reason, at, device, sign_in }, said, signature];
}

/** @param {unknown} value */
const isText = (value) => typeof value === "string";

/**
 * The parts of such a code, all but the last of them texts.
 * @param {string} text @param {string} tag @param {number} count
 * @returns {any[]?}
 */
function parts(text, tag, count) {
  if (text.length > LONGEST_READ || !text.startsWith(`["${tag}",`)) return null;
  try {
    const found = JSON.parse(text);
    return found.length === count && found.slice(0, -1).every(isText) ? found : null;
  } catch {
    return null;
  }
}

/**
 * The key that must have signed the answer, of `phones`, by the names of the shop's phones. `asked` is the digest of what
 * was asked on the phone `device`. Throws NotAllowed: `answer-other`, `answer-own-phone` or `answer-phone-unknown`.
 * @param {Answer} answer @param {string} asked @param {string} device @param {Record<string, Key>} phones
 * @returns {Key}
 */
export function keyFor(answer, asked, device, phones) {
  if (answer.ask !== asked) {
    const message = "answer is to another code than the one asked here; have this one scanned and answered";
    throw new NotAllowed("answer-other", "answer", message);
  }
  if (answer.device === device) {
    const message = "answer comes from the phone that asked; the supervisor answers on a phone of their own";
    throw new NotAllowed("answer-own-phone", "answer", message);
  }
  if (!Object.hasOwn(phones, answer.device)) {
    const message = `answer comes from ${shown(answer.device)}, no phone of this shop as known here; use badge and PIN`;
    throw new NotAllowed("answer-phone-unknown", "answer", message);
  }
  return phones[answer.device];
}
