/**
 * What a tap makes of a job: the guard, then the one event that is to be kept. Nothing is stored here.
 *
 * The guard is what makes a double tap, a stale page and a second phone harmless: a step's form says which step, which
 * attempt and which turn it was drawn for, and only the current ones are answered.
 */

import { atStep } from "./competence.js";
import { BadInput, NotAllowed, Stale, shown } from "./errors.js";
import { applies, stepOf } from "./fold.js";
import { words } from "./kinds/common.js";
import { witnessOf } from "./kinds/countersign.js";
import { OF_KIND, RECORDS } from "./kinds/index.js";
import { LONGEST_KEPT } from "./kinds/scan.js";
import { sums } from "./late.js";
import { doerBefore, inJob, leftOpen, sentBack } from "./sofar.js";
import { PAUSES, stateOf } from "./state.js";
import { cut, strip } from "./text.js";

const VOUCHING = ["countersign", "return"];

/** @import { Draft, Given, JobState, Moment, Records, Sheet, Step } from "./types.js" */

/**
 * The event that this form asks for, before it has an identity and a place in the journal.
 *
 * `given` is the form: `do`, for a step also `step`, `attempt` and `turn`, and the fields of the action. Throws Stale
 * where the form was drawn for another step, attempt or turn, or the job has ended or is paused; BadInput or NotAllowed
 * where the action itself is refused.
 * @param {Sheet} sheet @param {JobState} state @param {Given} given @param {Moment} moment
 * @returns {Draft}
 */
export function act(sheet, state, given, moment) {
  const what = given.do ?? "";
  if (state.phase !== "open") {
    const message = `do=${shown(what)}: this job is ${state.phase}; nothing more is added to it`;
    throw new Stale("job-ended", "do", message);
  }
  if (RECORDS.has(what)) return onStep(sheet, state, given, moment);
  const onJob = ON_JOB.get(what);
  if (onJob) return onJob(sheet, state, given, moment);
  const known = [...RECORDS.keys(), ...ON_JOB.keys()].sort().join(", ");
  throw new BadInput("do-unknown", "do", `do=${shown(what)} is not an action; expected one of ${known}`);
}

/**
 * Whether this form was answered a moment ago already: the same tap twice, or sent again after a lost answer.
 * @param {Sheet} sheet @param {JobState} state @param {Given} given
 */
export function isRepeat(sheet, state, given) {
  const step = stateOf(state, given.step ?? "");
  switch (given.do) {
    case "finish":
      return state.phase === "finished";
    case "abandon":
      return state.phase === "abandoned";
    case "pause":
      return state.phase === "open" && state.paused === (given.reason ?? null);
    case "resume":
      return state.phase === "open" && state.paused === null;
    case "undo":
    case "trouble":
    case "return":
      return given.attempt === String(step.attempt - 1);
    default:
      return isDrawnFor({ attempt: step.attempt, turn: step.turn - 1 }, given) && isAnswer(sheet, step, given);
  }
}

/**
 * The same page, but was it the same tap? Somebody else may have answered it otherwise in the meantime.
 * @param {Sheet} sheet @param {StepState} step @param {Given} given
 */
function isAnswer(sheet, step, given) {
  switch (given.do) {
    case "choose":
      return step.option === (given.option ?? null);
    case "result":
      return step.outcome !== null && step.outcome.outcome === given.outcome;
    case "measure":
      return step.measured !== null && isSame(step.measured.readings, readings(sheet, given));
    case "countersign":
      return step.countersigned_by !== null;
    case "photo":
      return step.photos.length > 0 && step.photos.at(-1) === given.sha256;
    case "scan":
      return step.scanned !== null && step.scanned.text === cut(strip(given.text ?? ""), LONGEST_KEPT);
    default:
      return (step.status === "left-undone") === (given.do === "leave-undone");
  }
}

/**
 * What was typed, as numbers; null where these are no readings for that step.
 * @param {Sheet} sheet @param {Given} given
 */
function readings(sheet, given) {
  const step = stepOf(sheet, given.step ?? "");
  try {
    return step?.kind === "measure" ? sums().readAll(step.measure, given) : null;
  } catch (error) {
    if (error instanceof BadInput) return null;
    throw error;
  }
}

/** @param {Record<string, number>} one @param {Record<string, number>?} other */
function isSame(one, other) {
  const names = Object.keys(one);
  return (
    other !== null && names.length === Object.keys(other).length && names.every((name) => one[name] === other[name])
  );
}

/**
 * @param {string} kind @param {string?} step @param {{attempt: number, turn: number}} was
 * @param {Record<string, any>} data
 */
function draft(kind, step, { attempt, turn }, data = {}) {
  return { kind, step, attempt, turn, data };
}

const JOB = { attempt: 1, turn: 0 };
/** @param {Sheet} sheet @param {JobState} state @param {Given} given @param {Moment} moment */
function onStep(sheet, state, given, moment) {
  const { do: what, step: name = "" } = given;
  const step = known(sheet, name, "open the job again");
  if (state.paused) throw new Stale("job-paused", "do", "do: the job is paused; resume it first");
  const was = stateOf(state, name);
  if (name !== state.current || !isDrawnFor(was, given)) {
    throw stale(`step=${shown(name)}: that page was drawn earlier; nothing was changed, here is the step at hand`);
  }
  if (was.status === "held" && !VOUCHING.includes(what)) {
    throw new NotAllowed("step-held", "do", `do=${what}: this step waits for a supervisor's countersign`);
  }
  const ways = OF_KIND[step.kind];
  const vouched = VOUCHING.includes(what) && (was.status === "held" || step.kind === "countersign");
  if (![...ways, "leave-undone"].includes(what) && !vouched) {
    const message = `do=${what} does not end a ${step.kind} step; expected ${ways.join(" or ")}`;
    throw new BadInput("do-not-here", "do", message);
  }
  const record = /** @type {Records} */ (RECORDS.get(what));
  const asked = what === "measure" ? inJob(sheet, state, step) : step;
  const by = vouched ? { doer: doerBefore(sheet, state, name), back: sentBack(sheet, state, name) } : {};
  const here = { ...atStep(sheet, step, moment), ...by };
  const about = what === "scan" ? { ...here, job: jobNames(sheet) } : here;
  const [kind, data] = record(asked, was, given, about);
  return draft(kind, name, was, data);
}

/** @param {Sheet} sheet @param {string} name @param {string} remedy */
function known(sheet, name, remedy) {
  const step = stepOf(sheet, name);
  if (step) return step;
  throw new BadInput("step-unknown", "step", `step=${shown(name)} is not on this job's sheet; ${remedy}`);
}

/** @param {{attempt: number, turn: number}} was @param {Given} given */
function isDrawnFor(was, given) {
  return String(was.attempt) === given.attempt && String(was.turn) === given.turn;
}

/** @param {StepState} was */
function isBegun(was) {
  return was.status !== "open" || was.turn > 0;
}

/** @param {string} message */
function stale(message) {
  return new Stale("step-not-current", "step", message);
}

/** @param {Sheet} sheet */
function jobNames(sheet) {
  return Object.values(sheet.placements).flatMap((group) =>
    group.flatMap((/** @type {any} */ one) => [one.target, one.spot]),
  );
}

/** @param {Sheet} sheet @param {JobState} state @param {Given} given */
function undo(sheet, state, given) {
  const name = given.step ?? "";
  known(sheet, name, "open the list of steps");
  const was = stateOf(state, name);
  if (given.attempt !== String(was.attempt)) {
    throw stale(`step=${shown(name)} was undone already; nothing was changed`);
  }
  if (!isBegun(was)) {
    const message = `step=${shown(name)} has not been done yet; there is nothing to undo`;
    throw new BadInput("nothing-to-undo", "step", message);
  }
  return draft("undone", name, was, { steps: [name], reason: words(given, "reason", "why it is undone") });
}

/**
 * The steps to begin anew when a fault leads back to `redo`: that one and all settled ones after it, up to `until`.
 * @param {Sheet} sheet @param {JobState} state @param {string} redo @param {string?} until
 */
export function redone(sheet, state, redo, until) {
  const steps = sheet.steps.filter((/** @type {Step} */ step) => applies(step, state.answers));
  const names = steps.map((/** @type {Step} */ step) => step.id);
  const first = names.indexOf(redo);
  if (first < 0) return [];
  const last = until !== null && names.includes(until) ? names.indexOf(until) + 1 : names.length;
  return names.slice(first, last).filter((/** @type {string} */ name) => isBegun(stateOf(state, name)));
}

/**
 * Something is wrong: a known cause of the step (by its number), or a text; a cause may lead back to a step.
 * @param {Sheet} sheet @param {JobState} state @param {Given} given
 */
function trouble(sheet, state, given) {
  const name = given.step ?? "";
  const step = known(sheet, name, "open the job again");
  const was = stateOf(state, name);
  const number = given.cause ?? "";
  if (number === "") {
    return draft("troubled", name, was, { cause: words(given, "text", "what is wrong"), steps: [] });
  }
  if (!/^[0-9]{1,3}$/.test(number) || Number(number) >= step.causes.length) {
    const message = `cause=${shown(number)} is none of this step's causes; choose one of the list`;
    throw new BadInput("cause-unknown", "cause", message);
  }
  if (!isDrawnFor(was, given)) {
    throw stale(`step=${shown(name)}: that page was drawn earlier; nothing was changed`);
  }
  const { cause, redo } = step.causes[Number(number)];
  return draft("troubled", name, was, { cause, redo, steps: redo ? redone(sheet, state, redo, state.current) : [] });
}

/** @param {Sheet} _sheet @param {JobState} state @param {Given} given */
function pause(_sheet, state, given) {
  if (state.paused) throw new Stale("job-paused", "do", "do=pause: the job is paused already");
  const reason = given.reason ?? "";
  if (!PAUSES.includes(reason)) {
    const message = `reason=${shown(reason)} is not a reason to pause; choose one of ${PAUSES.join(", ")}`;
    throw new BadInput("reason-unknown", "reason", message);
  }
  return draft("paused", state.current, JOB, { reason });
}

/** @param {Sheet} _sheet @param {JobState} state */
function resume(_sheet, state) {
  if (!state.paused) throw new Stale("job-not-paused", "do", "do=resume: the job is running already");
  return draft("resumed", state.current, JOB);
}

/** @param {Sheet} _sheet @param {JobState} state @param {Given} given */
function note(_sheet, state, given) {
  return draft("noted", given.step || state.current, JOB, { text: words(given, "text", "what to note") });
}

/**
 * Throws Stale while a step is open, NotAllowed where something is left open and no supervisor vouches for it.
 * @param {Sheet} sheet @param {JobState} state @param {Given} _given @param {Moment} moment
 */
function finish(sheet, state, _given, moment) {
  const still = `do=finish: step ${state.current} is still open; do it, or leave it undone with a reason`;
  if (state.current) throw new Stale("steps-open", "do", still);
  if (state.paused) throw new Stale("job-paused", "do", "do=finish: the job is paused; resume it first");
  if (moment.unproven?.length) {
    const [first] = moment.unproven;
    const message = `do=finish: the shop has not found the countersign of this step to be right: ${stepOf(sheet, first)?.do ?? first}`;
    throw new NotAllowed("countersign-unproven", "do", message);
  }
  const open = leftOpen(sheet, state).map((one) => one.step);
  if (!open.length) return draft("finished", null, JOB, { open });
  return draft("finished", null, JOB, { open, by: witnessOf(moment, moment.person?.code ?? null).code });
}

/** @param {Sheet} _sheet @param {JobState} _state @param {Given} given */
function abandon(_sheet, _state, given) {
  return draft("abandoned", null, JOB, { reason: words(given, "reason", "why the job is abandoned") });
}

/** @type {Map<string, (sheet: Sheet, state: JobState, given: Given, moment: Moment) => Draft>} */
const ON_JOB = new Map([
  ["undo", undo],
  ["trouble", trouble],
  ["pause", pause],
  ["resume", resume],
  ["note", note],
  ["finish", finish],
  ["abandon", abandon],
]);
