"""Countersigns that the shop has found not to be right: a job does not end while one of them stands."""

from collections.abc import Iterable

from .crossing import Shown
from .state import JobState

WAITS = "answer-waits"
"""A supervisor's phone has answered, and the shop has not heard yet who had begun it."""
FOUND = ("pin", "answer", WAITS)


def unproven(state: JobState, found: Iterable[Shown]) -> tuple[str, ...]:
    """The steps whose countersign stands with a PIN or an answer beside it that did not hold, or waits.

    One that was given anew counts.
    """
    return tuple(one.event.step or "" for one in _standing(state, found))


def unheard(state: JobState, found: Iterable[Shown]) -> bool:
    """Whether a supervisor's phone has only to be heard of, and nothing is wrong with any countersign that stands."""
    standing = _standing(state, found)
    return bool(standing) and all(one.what == WAITS for one in standing)


def _standing(state: JobState, found: Iterable[Shown]) -> list[Shown]:
    given = (one for one in found if one.what in FOUND and one.event.kind == "countersigned" and one.event.step)
    return [one for one in given if _stands(state, one)]


def _stands(state: JobState, one: Shown) -> bool:
    was = state.step(one.event.step or "")
    return was.status == "done" and (was.attempt, was.turn) == (one.event.attempt, one.event.turn + 1)
