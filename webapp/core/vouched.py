"""Countersigns that the shop has found not to be right: a job does not end while one of them stands."""

from collections.abc import Iterable

from .crossing import Shown
from .state import JobState


def unproven(state: JobState, found: Iterable[Shown]) -> tuple[str, ...]:
    """The steps whose countersign stands and has a PIN that did not hold beside it. One that was given anew counts."""
    return tuple(
        one.event.step
        for one in found
        if one.what == "pin" and one.event.kind == "countersigned" and one.event.step and _stands(state, one)
    )


def _stands(state: JobState, one: Shown) -> bool:
    was = state.step(one.event.step or "")
    return was.status == "done" and (was.attempt, was.turn) == (one.event.attempt, one.event.turn + 1)
