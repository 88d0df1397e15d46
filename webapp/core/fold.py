"""(sheet, events) -> the job's state. The one place that says what an event means."""

from collections.abc import Iterable
from itertools import islice
from typing import Any

from .clock import told_s
from .events import Event
from .kinds import SETTLES
from .numbers import rounded
from .sheet import Sheet, once
from .state import Clock, JobState, StepState, replace

SETTLED = ("done", "left-undone")
# Events that move a step on, and so make a page that was shown before them stale.
TURNS = frozenset(SETTLES)


def fold(sheet: Sheet, events: Iterable[Event], state: JobState | None = None) -> JobState:
    """The state after these events, from the beginning or from a state kept earlier.

    They are taken in the order of their places, so that the order in which they were heard of changes nothing. Whoever
    gives a state must see to it that all of them stand behind those folded into it.
    """
    held = state or JobState(current=current_step(sheet, {}, {}))
    for event in sorted(events, key=lambda one: one.place):
        held = apply(sheet, held, event)
    return held


def apply(sheet: Sheet, state: JobState, event: Event) -> JobState:
    """The state after one more event.

    An event about a step that the sheet does not have changes nothing but the clock.
    """
    state = _tick(state, event)
    settle = SETTLES.get(event.kind)
    step = step_of(sheet, event.step) if event.step else None
    if settle and step:
        return _settled(sheet, state, step, settle(step, state.step(step["id"]), event))
    return _JOB_EVENTS.get(event.kind, lambda _sheet, held, _event: held)(sheet, state, event)


@once
def _places(steps: list[dict[str, Any]]) -> dict[str, int]:
    """Where each step stands, by its id; of two the first."""
    return {step["id"]: place for place, step in reversed(list(enumerate(steps)))}


def step_of(sheet: Sheet, name: str) -> dict[str, Any] | None:
    place = _places(sheet["steps"]).get(name)
    return None if place is None else sheet["steps"][place]


def applies(step: dict[str, Any], answers: dict[str, str]) -> bool:
    """Whether the answers given on the way let this step stand."""
    return not step["only_if"] or all(answers.get(name) in values for name, values in step["only_if"].items())


def current_step(
    sheet: Sheet, steps: dict[str, StepState], answers: dict[str, str], begin: str | None = None
) -> str | None:
    """The first step that applies and is neither done nor left undone; None when all are settled.

    `begin` is a step before which none is to be looked for.
    """
    steps_of_sheet = sheet["steps"]
    first = 0 if begin is None else _places(steps_of_sheet).get(begin, len(steps_of_sheet))
    for step in islice(steps_of_sheet, first, None):
        known = steps.get(step["id"])
        if (known is None or known.status not in SETTLED) and applies(step, answers):
            return str(step["id"])
    return None


def _tick(state: JobState, event: Event) -> JobState:
    """Give the time since the last event to whatever was going on: a pause, a hold point, or the step in hand."""
    now = Clock(event.at, event.mono_s, event.boot)
    if state.clock is None:
        return replace(state, clock=now, device=event.device, count=state.count + 1)
    spent, estimated, ahead_s = told_s(state.clock, now, state.ahead_s, elsewhere=event.device != state.device)
    return replace(
        state,
        clock=now,
        device=event.device,
        ahead_s=ahead_s,
        count=state.count + 1,
        estimated=state.estimated or estimated,
        **_spent(state, spent, estimated),
    )


def _spent(state: JobState, spent: float, estimated: bool) -> dict[str, Any]:
    """What changes of the state."""
    if state.phase != "open" or not spent:
        return {}
    if state.paused or state.current is None:
        # Where everything is settled and the job not closed yet: nobody's step, but the job's time all the same.
        why = state.paused or "finishing"
        return {"pauses_s": {**state.pauses_s, why: rounded(state.pauses_s.get(why, 0.0) + spent, 3)}}
    step = state.step(state.current)
    if step.status == "held":
        step = replace(step, waited_s=rounded(step.waited_s + spent, 3), estimated=step.estimated or estimated)
    else:
        step = replace(step, worked_s=rounded(step.worked_s + spent, 3), estimated=step.estimated or estimated)
    return {"steps": {**state.steps, state.current: step}}


def _settled(sheet: Sheet, state: JobState, step: dict[str, Any], now: StepState) -> JobState:
    steps = {**state.steps, step["id"]: replace(now, turn=now.turn + 1)}
    answers = state.answers
    if step["kind"] == "choose" and now.status != "open" and now.option:
        answers = {**answers, step["asks"]: now.option}
    # Nothing before the step in hand has changed, unless it was an answer, or a step that another phone had in hand.
    begin = step["id"] if step["id"] == state.current and answers is state.answers else None
    return replace(state, steps=steps, answers=answers, current=current_step(sheet, steps, answers, begin))


def _started(_sheet: Sheet, state: JobState, event: Event) -> JobState:
    return replace(state, started_at=state.started_at or event.at)


def _reopened(sheet: Sheet, state: JobState, event: Event) -> JobState:
    """Steps begun anew: the time they took stays with them, what they said does not."""
    steps, answers = dict(state.steps), dict(state.answers)
    for name in event.data.get("steps", []):
        was, step = state.step(name), step_of(sheet, name)
        if step is None:
            continue
        steps[name] = StepState(
            attempt=was.attempt + 1,
            undone=was.undone + 1,
            failures=was.failures,
            wrong_scans=was.wrong_scans,
            worked_s=was.worked_s,
            waited_s=was.waited_s,
            estimated=was.estimated,
            returned={"by": event.data["by"], "reason": event.data["reason"]} if event.kind == "returned" else None,
        )
        if step["kind"] == "choose":
            answers.pop(step["asks"], None)
    troubles = state.troubles
    if event.kind == "troubled":
        troubles = (*troubles, {"step": event.step, "at": event.at, **event.data})
    return replace(state, steps=steps, answers=answers, troubles=troubles, current=current_step(sheet, steps, answers))


def _paused(_sheet: Sheet, state: JobState, event: Event) -> JobState:
    return replace(state, paused=event.data["reason"])


def _resumed(_sheet: Sheet, state: JobState, _event: Event) -> JobState:
    return replace(state, paused=None)


def _noted(_sheet: Sheet, state: JobState, event: Event) -> JobState:
    note = {"step": event.step, "at": event.at, "person": event.person, "text": event.data["text"]}
    return replace(state, notes=(*state.notes, note))


def _ended(_sheet: Sheet, state: JobState, event: Event) -> JobState:
    return replace(
        state,
        phase="finished" if event.kind == "finished" else "abandoned",
        paused=None,
        ended_at=event.at,
        ended_by=event.person,
        end_reason=event.data.get("reason"),
    )


_JOB_EVENTS = {
    "started": _started,
    "undone": _reopened,
    "returned": _reopened,
    "troubled": _reopened,
    "paused": _paused,
    "resumed": _resumed,
    "noted": _noted,
    "finished": _ended,
    "abandoned": _ended,
}
