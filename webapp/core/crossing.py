"""Where two devices worked the same step without knowing of each other, or went on after the job had ended.

Both events are kept and the later one counts; this tells the pairs, so that whoever opens the job can look at them. It
hangs on the events alone, so both sides tell the same pairs, whichever was heard of first.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Literal

from .events import Event
from .fold import TURNS, apply, fold
from .sheet import Sheet


@dataclass(frozen=True)
class Crossing:
    """`event` was made on another state of the step than the one it stands on; `other` is what its maker had not seen.

    `why`: `same-step`; `job-ended` where `other` ended the job, the only one whose `step` may be None; `ended-open`
    where the event finished the job although the step is open, which `other` has begun or opened again.
    """

    why: Literal["same-step", "job-ended", "ended-open"]
    step: str | None
    event: Event
    other: Event


@dataclass(frozen=True)
class Shown:
    """One thing that whoever opens the job should look at: the event, what about it, what either side made of it.

    For a crossing `what` is its `why`, and `other` the event of the other device.
    """

    event: Event
    what: str
    phone: Any = None
    server: Any = None
    other: Event | None = None


def crossings(sheet: Sheet, events: Iterable[Event]) -> list[Crossing]:
    """Every crossing of a job, in the order of the later events' places."""
    state, found = fold(sheet, ()), []
    last: dict[str, Event] = {}
    end: Event | None = None
    for event in sorted(events, key=lambda one: one.place):
        if end and end.device != event.device and state.phase != "open":
            found.append(Crossing("job-ended", event.step, event, end))
        elif event.step and event.kind in TURNS:
            was, other = state.step(event.step), last.get(event.step)
            if other and other.device != event.device and (event.attempt, event.turn) != (was.attempt, was.turn):
                found.append(Crossing("same-step", event.step, event, other))
        elif event.kind == "finished" and state.current and (other := _unheard(last, state.current, event)):
            found.append(Crossing("ended-open", state.current, event, other))
        state = apply(sheet, state, event)
        end = end or (event if state.phase != "open" else None)
        last |= dict.fromkeys(_touched(event), event)
    return found


def _unheard(last: dict[str, Event], step: str, event: Event) -> Event | None:
    """What another device did last at the step; or anywhere, where that made the step stand."""
    theirs = {name: one for name, one in last.items() if one.device != event.device}
    return theirs.get(step) or max(theirs.values(), key=lambda one: one.place, default=None)


def _touched(event: Event) -> list[str]:
    """The steps that the event moves on or begins anew."""
    if event.kind in ("undone", "returned", "troubled"):
        return list(event.data.get("steps", []))
    return [event.step] if event.step and event.kind in TURNS else []
