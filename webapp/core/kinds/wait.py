"""wait: a countdown that starts with a tap and survives a reload, since its start is an event."""

from math import ceil
from typing import Any

from ..clock import interval_s
from ..errors import BadInput
from ..events import Event
from ..state import Clock, StepState, replace
from .common import Moment, ended, held_after


def left_s(step: dict[str, Any], was: StepState, now: Clock) -> float:
    """Seconds still to wait; the whole time where the countdown has not been started."""
    if was.wait_from is None:
        return float(step["wait_s"])
    gone, _estimated = interval_s(was.wait_from, now)
    return max(0.0, float(step["wait_s"]) - gone)


def record_start(
    _step: dict[str, Any], was: StepState, _given: dict[str, str], _moment: Moment
) -> tuple[str, dict[str, Any]]:
    """Raises BadInput `wait-running` where the countdown runs already."""
    if was.wait_from is not None:
        raise BadInput("wait-running", "do", "do=start-wait: the countdown is running already; let it run out")
    return "wait-started", {}


def settle_start(_step: dict[str, Any], was: StepState, event: Event) -> StepState:
    return replace(was, wait_from=Clock(event.at, event.mono_s, event.boot))


def record(step: dict[str, Any], was: StepState, _given: dict[str, str], moment: Moment) -> tuple[str, dict[str, Any]]:
    """Raises BadInput `wait-not-over` where time is left."""
    left = left_s(step, was, moment.clock)
    if left > 0:
        raise BadInput("wait-not-over", "do", f"do=wait: {ceil(left)} s are left; go on when the countdown has run out")
    return "waited", {"held": held_after(step, moment)}


def settle(_step: dict[str, Any], was: StepState, event: Event) -> StepState:
    return ended(was, event)
