/** What a scan step shows: the pairs to place, what is in the hand, and the verdict on the last label. */

import { cut } from "../text.js";

/** @import { Say, ShowsKind } from "../types.js" */

/**
 * verdict -> look and shape; a verdict that is not here is a refusal.
 * @type {Record<string, [string, string]>}
 */
const LOOKS = {
  match: ["inside", "●"],
  "already-placed": ["close", "◐"],
  "right-target-wrong-spot": ["close", "◐"],
};
const REFUSED = ["outside", "⊗"];

/** @type {ShowsKind} */
export function scanView(step, was, _now, say) {
  const done = new Set(was.placed.map((one) => one.pair));
  return {
    scan: {
      pairs: step.pairs.map((/** @type {any} */ one, /** @type {number} */ at) => pair(one, done.has(at), say)),
      many: step.pairs.some((/** @type {any} */ one) => one.target && one.spot),
      holding: was.holding && was.scanned ? say("scan-holding", { label: was.scanned.in_hand }) : null,
      last: was.scanned ? last(was.scanned, say) : null,
      button: step.button || say("button-scan"),
    },
  };
}

/** @param {Record<string, any>} one @param {boolean} done @param {Say} say */
function pair(one, done, say) {
  return {
    target: one.target_name ?? "",
    spot: one.spot_name ?? "",
    done,
    shape: done ? "●" : "○",
    status: say(done ? "scan-placed" : "scan-waiting"),
  };
}

/** @param {Record<string, any>} scanned @param {Say} say */
function last(scanned, say) {
  const [look, shape] = LOOKS[scanned.verdict] ?? REFUSED;
  const { do: what, ...rest } = scanned.next;
  // A message chooses by what is absent too, so that nothing is left out of its arguments.
  const args = Object.fromEntries(Object.entries(rest).map(([key, value]) => [key, value ?? "none"]));
  return {
    class: look,
    shape,
    title: say(`scan-${scanned.verdict}`),
    text: say(`scan-next-${what}`, args),
    label: cut(scanned.text, 60),
  };
}
