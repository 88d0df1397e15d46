"""result: the scan tool's own verdict, written down.

Baybook never declares a sensor calibrated on its own authority.
"""

from typing import Any

from ..errors import BadInput, shown
from ..events import Event
from ..state import StepState, replace
from .common import Moment, ended, held_after, words

OUTCOMES = ("done", "failed", "not-run")


def record(step: dict[str, Any], _was: StepState, given: dict[str, str], moment: Moment) -> tuple[str, dict[str, Any]]:
    """Raises BadInput `outcome-unknown`, or `text-missing` where a failure lacks its text or a run its reason."""
    outcome = given.get("outcome", "")
    if outcome not in OUTCOMES:
        raise BadInput(
            "outcome-unknown", "outcome", f"outcome={shown(outcome)} is not known; choose one of {', '.join(OUTCOMES)}"
        )
    data: dict[str, Any] = {
        "outcome": outcome,
        "code": given.get("code", "").strip()[:200],
        "text": given.get("text", "").strip()[:2000],
        "reason": "",
    }
    if outcome == "failed":
        data["text"] = words(given, "text", "what the scan tool says")
    elif outcome == "not-run":
        data["reason"] = words(given, "reason", "why the calibration was not run")
    if outcome != "failed":
        data["held"] = held_after(step, moment)
    return "resulted", data


def settle(_step: dict[str, Any], was: StepState, event: Event) -> StepState:
    outcome = {key: event.data.get(key, "") for key in ("outcome", "code", "text", "reason")}
    if event.data["outcome"] == "failed":
        return replace(was, outcome=outcome, failures=was.failures + 1)
    return ended(was, event, outcome=outcome)
