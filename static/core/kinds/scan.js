/**
 * scan: labels read one after the other.
 *
 * Every scan, right or wrong, is an event; the step is done when every pair is placed. Where two phones have placed the
 * same pair unheard of each other, the later one counts, and it is one pair still.
 */

import { BadInput } from "../errors.js";
import { nameOf, openPairs } from "../kit.js";
import { scanVerdict } from "../scan.js";
import { cut, strip } from "../text.js";
import { ended, heldAfter } from "./common.js";

export const VIAS = ["wedge", "photo", "camera", "typed"];
export const LONGEST_KEPT = 200;

/**
 * Throws BadInput `text-missing` where no label was read at all; whatever was read gets a verdict.
 * @type {import("./index.js").Record_}
 */
export function record(step, was, given, moment) {
  const text = strip(given.text ?? "");
  if (!text) {
    const message = "text is empty; scan a label, take a photo of it, or type what stands beneath it";
    throw new BadInput("text-missing", "text", message);
  }
  const found = scanVerdict(step.pairs, was.placed, moment.kit, text, was.holding, moment.today, moment.job);
  const data = {
    text: cut(text, LONGEST_KEPT),
    via: VIAS.includes(given.via) ? given.via : "wedge",
    verdict: found.verdict,
    target: found.target,
    spot: found.spot,
    holding: found.holding,
    next: found.next,
    in_hand: found.holding ? nameOf(found.holding, moment.kit) : null,
  };
  if (!found.placed) return ["scanned", data];
  const placed = { ...data, placed: found.placed, pair: which(step, was, found.placed, moment) };
  if (new Set(was.placed.map((one) => one.pair)).size + 1 !== step.pairs.length) return ["scanned", placed];
  return ["scanned", { ...placed, complete: true, held: heldAfter(step, moment) }];
}

/**
 * Which of the step's pairs was just completed.
 * @param {import("../types.js").Step} step @param {import("../types.js").StepState} was
 * @param {Record<string, string?>} placed @param {import("../types.js").Moment} moment
 * @returns {number}
 */
function which(step, was, placed, moment) {
  const done = new Set(was.placed.map((one) => one.pair));
  const number = step.pairs.findIndex(
    (/** @type {any} */ pair, /** @type {number} */ at) =>
      !done.has(at) && !openPairs([pair], [placed], moment.kit).length,
  );
  if (number < 0) throw new Error("a completed pair is one of the step's");
  return number;
}

/** @type {import("./index.js").Settle} */
export function settle(_step, was, event) {
  const { text, verdict, next, in_hand, holding, placed, pair, complete } = event.data;
  const wrong = ["match", "already-placed"].includes(verdict) ? 0 : 1;
  const now = {
    ...was,
    scanned: { text, verdict, next, in_hand },
    holding,
    wrong_scans: was.wrong_scans + wrong,
    placed: placed ? [...was.placed.filter((one) => one.pair !== pair), { ...placed, pair }] : was.placed,
  };
  return complete ? ended(now, event) : now;
}
