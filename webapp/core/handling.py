"""What labels and targets cost: wrong scans by label, how long a target takes to its spot, and waits for equipment.

Read off the events of jobs, in the order of their journals.
"""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from .errors import BadInput
from .labels import read_label

RIGHT = ("match", "already-placed")
WAITED_FOR = "equipment"
"""The reason of a pause in which somebody waits for a target, a stand or a tool."""
LONGEST_S = 4 * 3600.0


@dataclass(frozen=True)
class Told:
    """An event as it is needed here: which job, kind and step, when on its steady clock, and its data."""

    job: str
    kind: str
    step: str | None
    mono_s: float
    boot: str
    data: dict[str, Any]


@dataclass
class LabelScans:
    """The scans of one label: how many, and how many with which verdict were wrong."""

    n: int = 0
    wrong: Counter[str] = field(default_factory=Counter)

    @property
    def wrongs(self) -> int:
        return self.wrong.total()


@dataclass
class Handling:
    """`labels` by the label's code (the empty one for what is no label of ours), `carried_s` by the target's code: from
    its scan to that of its spot; `waits_s` by the step at which somebody waited for equipment."""

    labels: dict[str, LabelScans] = field(default_factory=dict)
    carried_s: dict[str, list[float]] = field(default_factory=dict)
    waits_s: dict[str, list[float]] = field(default_factory=dict)
    waiting_jobs: set[str] = field(default_factory=set)


def handling(events: Iterable[Told], homes: Mapping[str, str | None]) -> Handling:
    """Add up the events, which come job by job, each job's in order. `homes` says where each target belongs: what is
    brought there is put away and not hung."""
    found, held, paused = Handling(), None, None
    for event in events:
        if event.kind == "scanned":
            label = found.labels.setdefault(_code(event.data["text"]), LabelScans())
            label.n += 1
            if event.data["verdict"] not in RIGHT:
                label.wrong[event.data["verdict"]] += 1
            placed = event.data.get("placed") or {}
            target, spot = placed.get("target"), placed.get("spot")
            if held and spot and target == held.data["holding"] and homes.get(target) != spot:
                _add(found.carried_s, held.data["holding"], held, event)
            if placed:
                held = None
            elif event.data["holding"] and (held is None or held.data["holding"] != event.data["holding"]):
                held = event
        elif event.kind == "paused":
            paused = event if event.data["reason"] == WAITED_FOR else None
        elif event.kind == "resumed" and paused:
            if _add(found.waits_s, paused.step or "", paused, event):
                found.waiting_jobs.add(event.job)
            paused = None
    return found


def _add(to: dict[str, list[float]], name: str, begin: Told, end: Told) -> bool:
    """Count the time between two events of one job, where one clock ran through and it can be believed."""
    sure = begin.job == end.job and begin.boot == end.boot and 0 <= end.mono_s - begin.mono_s <= LONGEST_S
    if sure:
        to.setdefault(name, []).append(end.mono_s - begin.mono_s)
    return sure


def _code(text: str) -> str:
    try:
        return read_label(text).code
    except BadInput:
        return ""
