/** What every step shows, whatever its kind. */

import { intervalS } from "../clock.js";
import { stateOf } from "../state.js";
import { fitView } from "./area.js";
import { drawingView } from "./drawings.js";
import { clock } from "./figures.js";
import { applicable } from "./frame.js";

/** @import { Clock, JobState, Say, Sheet, Step, View } from "../types.js" */

/**
 * The step's sentence, its cautions and drawing, the reasons, its time so far, and what its forms must send back.
 * @param {Sheet} sheet @param {JobState} state @param {Step} step @param {Clock} now @param {Say} say
 * @returns {View}
 */
export function stepView(sheet, state, step, now, say) {
  const was = stateOf(state, step.id);
  const steps = applicable(sheet, state);
  const place = steps.findIndex((one) => one.id === step.id);
  const running = step.id === state.current && was.status === "open" ? runningS(state, now) : 0;
  const following = steps[place + 1];
  return {
    id: step.id,
    kind: step.kind,
    is: { [step.kind]: true },
    attempt: was.attempt,
    turn: was.turn,
    n: place + 1,
    count: say("job-count", { n: place + 1, of: steps.length }),
    elapsed: clock(was.worked_s + running),
    elapsed_s: Math.trunc(was.worked_s + running),
    do: step.do,
    why: step.why,
    mistakes: step.mistakes,
    has_mistakes: step.mistakes.length > 0,
    cautions: step.cautions.map((one) => ({ ...one, word: say(`signal-${one.signal.toLowerCase()}`) })),
    drawing: drawingView(sheet, step, was, say),
    fit: step.shows === "area" ? fitView(sheet.job.fit, say, sheet.unit) : null,
    has_causes: step.causes.length > 0,
    next: following ? say("job-next", { what: following.do }) : null,
    previous: place ? steps[place - 1].id : null,
    again: was.undone > 0,
    returned: was.status === "open" ? (was.returned ?? null) : null,
  };
}

/** @param {JobState} state @param {Clock} now */
function runningS(state, now) {
  return state.clock && !state.paused ? intervalS(state.clock, now)[0] : 0;
}
