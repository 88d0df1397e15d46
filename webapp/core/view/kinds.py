"""What a step shows by its kind."""

from collections.abc import Callable
from math import ceil
from typing import Any

from ..kinds.wait import left_s
from ..sheet import Say
from ..state import Clock, StepState
from .causes import causes_view
from .figures import clock
from .measures import measure_view
from .scans import scan_view

Shown = dict[str, Any]


def _confirm(step: Shown, _was: StepState, _now: Clock, say: Say, _again: bool) -> Shown:
    return {"confirm": {"button": step["button"] or say("button-confirm")}}


def _choose(step: Shown, was: StepState, _now: Clock, _say: Say, _again: bool) -> Shown:
    chosen = next((one for one in step["options"] if one["value"] == was.option), None)
    return {"choose": {"options": step["options"], "blocked": chosen["blocks"] if chosen else None}}


def _photo(step: Shown, _was: StepState, _now: Clock, say: Say, _again: bool) -> Shown:
    return {"photo": {"of": step["photo"], "button": step["button"] or say("button-photo")}}


def _wait(step: Shown, was: StepState, now: Clock, say: Say, _again: bool) -> Shown:
    left = ceil(left_s(step, was, now))
    running = was.wait_from is not None
    return {
        "wait": {
            "running": running,
            "waiting": running and left > 0,
            "over": running and left <= 0,
            "left_s": left,
            "left": clock(left),
            "start": say("button-start-wait", time=clock(step["wait_s"])),
            "button": step["button"] or say("button-waited"),
        }
    }


def _countersign(step: Shown, _was: StepState, _now: Clock, say: Say, _again: bool) -> Shown:
    return {"countersign": {"button": step["button"] or say("button-countersign")}}


def _result(step: Shown, was: StepState, _now: Clock, say: Say, _again: bool) -> Shown:
    failed = was.outcome if was.outcome and was.outcome["outcome"] == "failed" else None
    causes = causes_view(step, say) if failed else []
    return {
        "result": {
            "button": step["button"] or say("button-result-done"),
            "failed": failed,
            "failures": say("result-failures", count=was.failures) if failed else None,
            "causes": causes,
        }
    }


KIND_VIEWS: dict[str, Callable[[Shown, StepState, Clock, Say, bool], Shown]] = {
    "confirm": _confirm,
    "choose": _choose,
    "scan": scan_view,
    "measure": measure_view,
    "photo": _photo,
    "wait": _wait,
    "countersign": _countersign,
    "result": _result,
}
