"""confirm: the technician says it is done. Also: leaving any step undone, with the reason."""

from typing import Any

from ..events import Event
from ..state import StepState, replace
from .common import Moment, ended, held_after, words


def record(step: dict[str, Any], _was: StepState, _given: dict[str, str], moment: Moment) -> tuple[str, dict[str, Any]]:
    return "confirmed", {"held": held_after(step, moment)}


def settle(_step: dict[str, Any], was: StepState, event: Event) -> StepState:
    return ended(was, event)


def record_left_undone(
    _step: dict[str, Any], _was: StepState, given: dict[str, str], _moment: Moment
) -> tuple[str, dict[str, Any]]:
    return "left-undone", {"reason": words(given, "reason", "why this step cannot be done")}


def settle_left_undone(_step: dict[str, Any], was: StepState, event: Event) -> StepState:
    return replace(was, status="left-undone", reason=event.data["reason"], done_at=event.at, done_by=event.person)
