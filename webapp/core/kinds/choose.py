"""choose: one of several answers; the answer may decide which later steps apply, or stop the work until something is
put right.
"""

from typing import Any

from ..errors import BadInput, shown
from ..events import Event
from ..state import StepState, replace
from .common import Moment, ended, held_after


def record(step: dict[str, Any], _was: StepState, given: dict[str, str], moment: Moment) -> tuple[str, dict[str, Any]]:
    """Raises BadInput `option-unknown` where the answer is none of the step's."""
    value = given.get("option", "")
    option = next((one for one in step["options"] if one["value"] == value), None)
    if option is None:
        known = ", ".join(one["value"] for one in step["options"])
        raise BadInput(
            "option-unknown", "option", f"option={shown(value)} is not an answer here; choose one of {known}"
        )
    if option["blocks"]:
        return "chosen", {"option": value, "blocked": True}
    return "chosen", {"option": value, "held": held_after(step, moment)}


def settle(_step: dict[str, Any], was: StepState, event: Event) -> StepState:
    if event.data.get("blocked"):
        return replace(was, option=event.data["option"])
    return ended(was, event, option=event.data["option"])
