/** At a step that waits: the code for a supervisor's phone, and that phone's answer, checked with the key that the shelf has. */

import { NotAllowed } from "../../core/errors.js";
import { stepOf } from "../../core/fold.js";
import { doerOf } from "../../core/sofar.js";
import { askOld, needAsked, standing } from "../../core/standing.js";
import { stateOf } from "../../core/state.js";
import { strip } from "../../core/text.js";
import { frame } from "../../core/view/frame.js";
import { vouchView } from "../../core/view/vouch.js";
import { askText, DO_OF, keyFor, readAnswer, readAsk } from "../../core/vouching.js";
import { newId } from "../clock.js";
import { read, write } from "../database.js";
import { progressOf } from "../journal.js";
import { codeView, digest, isSigned } from "./code.js";

/** @import { Given, Step, View } from "../../core/types.js" */
/** @import { Progress } from "../journal.js" */
/** @import { Along } from "../tap.js" */
/** @import { Words } from "../render.js" */

/**
 * The page with the code; null where no step waits.
 * @param {Progress} at @param {Pick<Words, "say" | "sheet">} words
 * @returns {Promise<View?>}
 */
export async function askPage(at, { say, sheet: worded }) {
  const { state, clock } = at;
  const sheet = worded(at.sheet);
  const step = waitingStep(sheet, state);
  if (!step) return null;
  const around = frame(sheet, state, clock, say);
  const { facts } = vouchView(sheet, state, step, say).vouch;
  const { text } = await askFor(at, around, facts);
  return { ...around, ask: { do: step.do, ...codeView(text) } };
}

/**
 * @param {Progress["sheet"]} sheet @param {Progress["state"]} state
 * @returns {Step?}
 */
function waitingStep(sheet, state) {
  const step = state.phase === "open" && !state.paused && state.current ? stepOf(sheet, state.current) : null;
  const waits = step && (stateOf(state, step.id).status === "held" || step.kind === "countersign");
  return waits && doerOf(sheet, state, step.id) ? step : null;
}

/**
 * What this phone asks, as it asked before where the step still stands so: the page may be drawn many times.
 * @param {Progress} at @param {View} around @param {string[]} told
 * @returns {Promise<{text: string, attempt: number, turn: number}>}
 */
async function askFor({ sheet, state }, { order, vehicle }, told) {
  const name = /** @type {string} */ (state.current);
  const stands = await digest(standing(sheet, state, name));
  const before = await read("shelf", "asked");
  if (before && readAsk(before.text).stands === stands && readAsk(before.text).job === sheet.job.id) return before;
  const { attempt, turn } = stateOf(state, name);
  const doer = doerOf(sheet, state, name) ?? "";
  const about = { event: newId(), job: sheet.job.id, step: name, stands, doer, order, vehicle };
  const made = { name: "asked", text: askText({ ...about, do: stepOf(sheet, name)?.do ?? "", told }), attempt, turn };
  await write("shelf", made);
  return made;
}

/**
 * The tap that a supervisor's answer stands for, once all is checked that can be here; else throws what to do now.
 * @param {string} job @param {Given} given
 * @returns {Promise<[Given, Along]>}
 */
export async function answered(job, given) {
  const text = strip(given.answer ?? "");
  const [answer, said, signature] = readAnswer(text);
  const [at, asked, shelf, me] = await Promise.all([
    progressOf(job),
    read("shelf", "asked"),
    read("shelf", "shelf"),
    read("device", "me"),
  ]);
  if (!at || !asked) throw askOld();
  const ask = readAsk(asked.text);
  const key = keyFor(answer, await digest(asked.text), me?.id, shelf?.phones ?? {});
  if (!(await isSigned(key, said, signature))) {
    const message = "answer was not signed by the phone that it names; have the code scanned and answered once more";
    throw new NotAllowed("answer-signature", "answer", message);
  }
  if (!waitingStep(at.sheet, at.state)) throw askOld();
  needAsked(ask, at.sheet, at.state, await digest(standing(at.sheet, at.state, ask.step)));
  const known = Object.hasOwn(shelf.people ?? {}, answer.by) ? shelf.people[answer.by] : null;
  if (!known) {
    const message = "answer is by a badge that is nobody's as known here; use badge and PIN on this phone";
    throw new NotAllowed("answer-person-unknown", "answer", message);
  }
  const { attempt, turn } = asked;
  const tapped = { do: DO_OF[answer.verdict], step: ask.step, attempt: `${attempt}`, turn: `${turn}` };
  const witness = { code: answer.by, role: known.role, name: known.name };
  const along = { id: ask.event, photo: null, witness, seal: null, answer: { asked: asked.text, text } };
  return [{ ...tapped, reason: answer.reason }, along];
}
