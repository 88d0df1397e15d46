"""The kinds of step: for each, what a tap records (`record`) and what the event then means (`settle`).

`record(step, was, given, moment) -> (event kind, data)` decides and may refuse; `settle(step, was, event) ->
StepState` only tells.
A decision is made once, when it is recorded, and stands in the event.
"""

from collections.abc import Callable
from typing import Any

from ..events import Event
from ..state import StepState
from . import choose, confirm, countersign, measure, photo, result, scan, wait
from .common import Moment

Given = dict[str, str]
Recorded = tuple[str, dict[str, Any]]

# What a page may ask for -> who records it. The names are the events' in the imperative.
RECORDS: dict[str, Callable[[dict[str, Any], StepState, Given, Moment], Recorded]] = {
    "confirm": confirm.record,
    "choose": choose.record,
    "scan": scan.record,
    "measure": measure.record,
    "overrule": measure.record_overruled,
    "photo": photo.record,
    "start-wait": wait.record_start,
    "wait": wait.record,
    "countersign": countersign.record,
    "return": countersign.record_returned,
    "result": result.record,
    "leave-undone": confirm.record_left_undone,
}

# What a step's kind may be asked to do; countersign, return and leave-undone are open to every kind.
OF_KIND = {
    "confirm": ("confirm",),
    "choose": ("choose",),
    "scan": ("scan",),
    "measure": ("measure", "overrule"),
    "photo": ("photo",),
    "wait": ("start-wait", "wait"),
    "countersign": ("countersign",),
    "result": ("result",),
}

SETTLES: dict[str, Callable[[dict[str, Any], StepState, Event], StepState]] = {
    "confirmed": confirm.settle,
    "chosen": choose.settle,
    "scanned": scan.settle,
    "measured": measure.settle,
    "overruled": measure.settle_overruled,
    "photographed": photo.settle,
    "wait-started": wait.settle_start,
    "waited": wait.settle,
    "countersigned": countersign.settle,
    "resulted": result.settle,
    "left-undone": confirm.settle_left_undone,
}

__all__ = ["OF_KIND", "RECORDS", "SETTLES", "Moment"]
