"""What a tap makes of a job: the guard, then the one event that is to be kept. Nothing is stored here.

The guard is what makes a double tap, a stale page and a second phone harmless: a step's form says which step, which
attempt and which turn it was drawn for, and only the current ones are answered.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any

from .competence import at_step
from .errors import BadInput, NotAllowed, Stale, shown
from .fold import applies, step_of
from .kinds import OF_KIND, RECORDS, Moment
from .kinds.common import words
from .kinds.countersign import witness_of
from .kinds.scan import LONGEST_KEPT
from .measure.judged import read_all
from .sheet import Sheet, once
from .sofar import doer_before, in_job, left_open, sent_back
from .state import PAUSES, JobState, StepState

VOUCHING = ("countersign", "return")


@dataclass(frozen=True)
class Draft:
    """An event before it has an identity and a place in the journal."""

    kind: str
    step: str | None
    attempt: int
    turn: int
    data: dict[str, Any] = field(default_factory=dict)


def act(sheet: Sheet, state: JobState, given: dict[str, str], moment: Moment) -> Draft:
    """The event that this form asks for.

    `given` is the form: `do`, for a step also `step`, `attempt` and `turn`, and the fields of the action.

    Raises:
        Stale: the form was drawn for another step, attempt or turn, or the job has ended or is paused.
        BadInput, NotAllowed: the action itself is refused.
    """
    do = given.get("do", "")
    if state.phase != "open":
        raise Stale("job-ended", "do", f"do={shown(do)}: this job is {state.phase}; nothing more is added to it")
    if do in RECORDS:
        return _on_step(sheet, state, given, moment)
    if do in _ON_JOB:
        return _ON_JOB[do](sheet, state, given, moment)
    raise BadInput(
        "do-unknown",
        "do",
        f"do={shown(do)} is not an action; expected one of {', '.join(sorted([*RECORDS, *_ON_JOB]))}",
    )


def is_repeat(sheet: Sheet, state: JobState, given: dict[str, str]) -> bool:
    """Whether this form was answered a moment ago already: the same tap twice, or sent again after a lost answer."""
    do, step = given.get("do", ""), state.step(given.get("step", ""))
    ended = {"finish": "finished", "abandon": "abandoned"}
    if do in ended:
        return state.phase == ended[do]
    if do in ("pause", "resume"):
        return state.phase == "open" and state.paused == (given.get("reason") if do == "pause" else None)
    if do in ("undo", "trouble", "return"):
        return given.get("attempt") == str(step.attempt - 1)
    if (given.get("attempt"), given.get("turn")) != (str(step.attempt), str(step.turn - 1)):
        return False
    return _is_answer(sheet, step, given)


def _is_answer(sheet: Sheet, step: StepState, given: dict[str, str]) -> bool:
    """The same page, but was it the same tap? Somebody else may have answered it otherwise in the meantime."""
    do = given.get("do", "")
    if do == "choose":
        return step.option == given.get("option")
    if do == "result":
        return step.outcome is not None and step.outcome["outcome"] == given.get("outcome")
    if do == "measure":
        return step.measured is not None and step.measured["readings"] == _readings(sheet, given)
    if do == "countersign":
        return step.countersigned_by is not None
    if do == "photo":
        return step.photos[-1:] == (given.get("sha256"),)
    if do == "scan":
        return step.scanned is not None and step.scanned["text"] == given.get("text", "").strip()[:LONGEST_KEPT]
    return (step.status == "left-undone") == (do == "leave-undone")


def _readings(sheet: Sheet, given: dict[str, str]) -> dict[str, float] | None:
    """What was typed, as numbers; None where these are no readings for that step."""
    step = step_of(sheet, given.get("step", ""))
    try:
        return read_all(step["measure"], given) if step and step["kind"] == "measure" else None
    except BadInput:
        return None


def _on_step(sheet: Sheet, state: JobState, given: dict[str, str], moment: Moment) -> Draft:
    do, name = given["do"], given.get("step", "")
    step = step_of(sheet, name)
    if step is None:
        raise BadInput("step-unknown", "step", f"step={shown(name)} is not on this job's sheet; open the job again")
    if state.paused:
        raise Stale("job-paused", "do", "do: the job is paused; resume it first")
    was = state.step(name)
    if name != state.current or (str(was.attempt), str(was.turn)) != (given.get("attempt"), given.get("turn")):
        raise Stale(
            "step-not-current",
            "step",
            f"step={shown(name)}: that page was drawn earlier; nothing was changed, here is the step at hand",
        )
    if was.status == "held" and do not in VOUCHING:
        raise NotAllowed("step-held", "do", f"do={do}: this step waits for a supervisor's countersign")
    vouched = do in VOUCHING and (was.status == "held" or step["kind"] == "countersign")
    if do not in (*OF_KIND[step["kind"]], "leave-undone") and not vouched:
        raise BadInput(
            "do-not-here",
            "do",
            f"do={do} does not end a {step['kind']} step; expected {' or '.join(OF_KIND[step['kind']])}",
        )
    if do == "measure":
        step = in_job(sheet, state, step)
    moment = at_step(sheet, step, moment)
    if vouched:
        moment = replace(moment, doer=doer_before(sheet, state, name), back=sent_back(sheet, state, name))
    if do == "scan":
        moment = replace(moment, job=_job_names(sheet["placements"]))
    kind, data = RECORDS[do](step, was, given, moment)
    return Draft(kind, name, was.attempt, was.turn, data)


@once
def _job_names(placements: dict[str, Any]) -> tuple[str, ...]:
    return tuple(name for group in placements.values() for one in group for name in (one["target"], one["spot"]))


def _undo(sheet: Sheet, state: JobState, given: dict[str, str], _moment: Moment) -> Draft:
    name = given.get("step", "")
    step, was = step_of(sheet, name), state.step(name)
    if step is None:
        raise BadInput("step-unknown", "step", f"step={shown(name)} is not on this job's sheet; open the list of steps")
    if given.get("attempt") != str(was.attempt):
        raise Stale("step-not-current", "step", f"step={shown(name)} was undone already; nothing was changed")
    if was.status == "open" and not was.turn:
        raise BadInput("nothing-to-undo", "step", f"step={shown(name)} has not been done yet; there is nothing to undo")
    return Draft(
        "undone", name, was.attempt, was.turn, {"steps": [name], "reason": words(given, "reason", "why it is undone")}
    )


def redone(sheet: Sheet, state: JobState, redo: str, until: str | None) -> list[str]:
    """The steps to begin anew when a fault leads back to `redo`: that one and all settled ones after it, up to
    `until`.
    """
    names = [step["id"] for step in sheet["steps"] if applies(step, state.answers)]
    if redo not in names:
        return []
    last = names.index(until) + 1 if until in names else len(names)
    touched = names[names.index(redo) : last]
    return [name for name in touched if state.step(name).status != "open" or state.step(name).turn]


def _trouble(sheet: Sheet, state: JobState, given: dict[str, str], _moment: Moment) -> Draft:
    """Something is wrong: a known cause of the step (by its number), or a text; a cause may lead back to a step."""
    name = given.get("step", "")
    step = step_of(sheet, name)
    if step is None:
        raise BadInput("step-unknown", "step", f"step={shown(name)} is not on this job's sheet; open the job again")
    number = given.get("cause", "")
    was = state.step(name)
    if number == "":
        return Draft(
            "troubled", name, was.attempt, was.turn, {"cause": words(given, "text", "what is wrong"), "steps": []}
        )
    if not re.fullmatch("[0-9]{1,3}", number) or int(number) >= len(step["causes"]):
        raise BadInput(
            "cause-unknown", "cause", f"cause={shown(number)} is none of this step's causes; choose one of the list"
        )
    if given.get("turn") != str(was.turn) or given.get("attempt") != str(was.attempt):
        raise Stale("step-not-current", "step", f"step={shown(name)}: that page was drawn earlier; nothing was changed")
    cause = step["causes"][int(number)]
    steps = redone(sheet, state, cause["redo"], state.current) if cause["redo"] else []
    return Draft(
        "troubled", name, was.attempt, was.turn, {"cause": cause["cause"], "redo": cause["redo"], "steps": steps}
    )


def _pause(_sheet: Sheet, state: JobState, given: dict[str, str], _moment: Moment) -> Draft:
    if state.paused:
        raise Stale("job-paused", "do", "do=pause: the job is paused already")
    reason = given.get("reason", "")
    if reason not in PAUSES:
        raise BadInput(
            "reason-unknown",
            "reason",
            f"reason={shown(reason)} is not a reason to pause; choose one of {', '.join(PAUSES)}",
        )
    return Draft("paused", state.current, 1, 0, {"reason": reason})


def _resume(_sheet: Sheet, state: JobState, _given: dict[str, str], _moment: Moment) -> Draft:
    if not state.paused:
        raise Stale("job-not-paused", "do", "do=resume: the job is running already")
    return Draft("resumed", state.current, 1, 0)


def _note(_sheet: Sheet, state: JobState, given: dict[str, str], _moment: Moment) -> Draft:
    return Draft("noted", given.get("step") or state.current, 1, 0, {"text": words(given, "text", "what to note")})


def _finish(sheet: Sheet, state: JobState, _given: dict[str, str], moment: Moment) -> Draft:
    """Raises Stale while a step is open, NotAllowed where something is left open and no supervisor vouches for it."""
    if state.current:
        raise Stale(
            "steps-open",
            "do",
            f"do=finish: step {state.current} is still open; do it, or leave it undone with a reason",
        )
    if state.paused:
        raise Stale("job-paused", "do", "do=finish: the job is paused; resume it first")
    if moment.unproven:
        step = step_of(sheet, moment.unproven[0])
        what = step["do"] if step else moment.unproven[0]
        raise NotAllowed(
            "countersign-unproven",
            "do",
            f"do=finish: the shop has not found the countersign of this step to be right: {what}",
        )
    found = left_open(sheet, state)
    data: dict[str, Any] = {"open": [one["step"] for one in found]}
    if found:
        data["by"] = witness_of(moment, moment.person.code if moment.person else None).code
    return Draft("finished", None, 1, 0, data)


def _abandon(_sheet: Sheet, _state: JobState, given: dict[str, str], _moment: Moment) -> Draft:
    return Draft("abandoned", None, 1, 0, {"reason": words(given, "reason", "why the job is abandoned")})


_ON_JOB: dict[str, Callable[[Sheet, JobState, dict[str, str], Moment], Draft]] = {
    "undo": _undo,
    "trouble": _trouble,
    "pause": _pause,
    "resume": _resume,
    "note": _note,
    "finish": _finish,
    "abandon": _abandon,
}
