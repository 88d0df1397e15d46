"""Where the time of some jobs of one calibration went, in counts that add up: its own steps, its share of shared ones,
waits for a countersign, pauses by reason.

Of each portion it is kept in how many jobs it took how long (`binned.PART`), how many seconds in all, and in how many
jobs a step was begun again or a wrong label was scanned at it.
"""

import json
import zlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .binned import KEPT, PART, Binned, Counts, counted_each
from .state import PAUSES
from .statistics import Summary, summary

OWN, SHARED, WAIT, PAUSE = "own", "shared", "wait", "pause"
Name = tuple[str, str]
"""The kind of a portion, and which step or reason it is."""


@dataclass(frozen=True)
class Portion:
    """In how many jobs each bin was met, and what the seconds come to; `again` and `wrong` count jobs."""

    kind: str
    name: str
    counts: Counts
    seconds: float
    again: int
    wrong: int

    @property
    def n(self) -> int:
        return int(self.counts.sum())

    @property
    def found(self) -> Summary | None:
        """None for too few jobs."""
        return summary(Binned(self.counts, PART)) if self.n else None


@dataclass
class Spent:
    """What some jobs spent, portion by portion, while it is gathered: the seconds in each job that had it."""

    seconds: dict[Name, list[float]] = field(default_factory=dict)
    odd: dict[Name, list[int]] = field(default_factory=dict)
    """In how many jobs it was begun again, and in how many a wrong label was scanned."""

    def add(self, calibration: str, said: Mapping[str, Any], *, estimated: bool) -> None:
        """A job's, as its shop told it (`bundle.spent_of`). Of estimated times the steps count for nothing."""
        for step in said["steps"]:
            if calibration not in step["serves"]:
                continue
            name = OWN if step["calibration"] == calibration else SHARED, step["step"]
            if not estimated:
                self._took(name, step["seconds"] / len(step["serves"]))
            if step["waited_s"]:
                self._took((WAIT, step["step"]), step["waited_s"])
            if step["attempts"] > 1 or step["wrong_scans"]:
                odd = self.odd.setdefault(name, [0, 0])
                odd[0] += step["attempts"] > 1
                odd[1] += step["wrong_scans"] > 0
        for reason, seconds in said["pauses_s"].items():
            if seconds and reason in PAUSES:  # what lies between the last step and the end is no pause
                self._took((PAUSE, reason), seconds)

    def _took(self, name: Name, seconds: float) -> None:
        self.seconds.setdefault(name, []).append(seconds)

    def portions(self) -> list[Portion]:
        names = sorted(self.seconds.keys() | self.odd.keys())
        each = [self.seconds.get(name, []) for name in names]
        return [
            Portion(*name, counts, sum(seconds), *self.odd.get(name, (0, 0)))
            for name, seconds, counts in zip(names, each, counted_each(each, PART), strict=True)
        ]


def packed(portions: Sequence[Portion]) -> bytes:
    """As they are kept: a line of JSON with the names, then seconds, jobs that were odd, and counts, all packed."""
    if not portions:
        return b""
    counts = np.stack([one.counts for one in portions])
    width = int(np.flatnonzero(counts.any(axis=0))[-1]) + 1 if counts.any() else 0
    arrays = (
        np.array([one.seconds for one in portions], "<f8"),
        np.array([(one.again, one.wrong) for one in portions], KEPT),
        counts[:, :width].astype(KEPT),
    )
    names = json.dumps([(one.kind, one.name) for one in portions], separators=(",", ":"))
    return zlib.compress(names.encode() + b"\n" + b"".join(one.tobytes() for one in arrays), 1)


def together(kept: Iterable[bytes]) -> list[Portion]:
    """The sum of portions that were kept, by kind and name."""
    total = _Total()
    for one in kept:
        if one:
            total.add(zlib.decompress(one))
    return total.portions()


class _Total:
    def __init__(self) -> None:
        self.place: dict[Name, int] = {}
        self.places: dict[bytes, NDArray[np.intp]] = {}
        self.seconds = np.zeros(0)
        self.odd = np.zeros((0, 2), np.int64)
        self.counts = np.zeros((0, PART.bins), np.int64)

    def add(self, body: bytes) -> None:
        names, _, rest = body.partition(b"\n")
        if names not in self.places:  # months of the same shops mostly have the same steps
            self.places[names] = self._places([(kind, name) for kind, name in json.loads(names)])
        at = self.places[names]
        n = len(at)
        self.seconds[at] += np.frombuffer(rest, "<f8", n)
        self.odd[at] += np.frombuffer(rest, KEPT, 2 * n, 8 * n).reshape(n, 2)
        counts = np.frombuffer(rest, KEPT, offset=16 * n).reshape(n, -1)
        self.counts[at, : counts.shape[1]] += counts

    def _places(self, names: Sequence[Name]) -> NDArray[np.intp]:
        at = np.array([self.place.setdefault(one, len(self.place)) for one in names], np.intp)
        more = len(self.place) - len(self.seconds)
        self.seconds = np.pad(self.seconds, (0, more))
        self.odd = np.pad(self.odd, ((0, more), (0, 0)))
        self.counts = np.pad(self.counts, ((0, more), (0, 0)))
        return at

    def portions(self) -> list[Portion]:
        return [
            Portion(*name, self.counts[at], float(self.seconds[at]), *map(int, self.odd[at]))
            for name, at in sorted(self.place.items())
        ]
