"""The individuals chart: does one job stand out from what the shop's own jobs usually do?

Limits come from the jobs' own moving range, never from a target somebody set. Times lean to the long side, so a signal
asks "what happened here?" and proves nothing.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

FEWEST_FOR_LIMITS = 12
"""Limits from fewer jobs than this move too much with each new one to be worth drawing."""

LIMIT_FACTOR = 2.66
RANGE_FACTOR = 3.267
"""3/d2 and D4 for ranges of two (d2 = 1.128), as every table of control chart constants rounds them."""


@dataclass(frozen=True)
class Signal:
    """The value at `index` (from 0), in the order of the jobs, completes the pattern `rule`."""

    index: int
    rule: str


@dataclass(frozen=True)
class Individuals:
    """The figures of an XmR chart in the values' unit; `signals` in the order of the values."""

    mean: float
    mean_range: float
    low: float
    high: float
    range_high: float
    signals: tuple[Signal, ...]


RULES: tuple[tuple[str, int, int, float], ...] = (
    # name, how many, of how many in a row, beyond so many thirds of the way to the limit (one side of the mean)
    ("beyond-limit", 1, 1, 3.0),
    ("two-of-three", 2, 3, 2.0),
    ("four-of-five", 4, 5, 1.0),
    ("eight-in-a-row", 8, 8, 0.0),
)
"""The zone tests of the Western Electric Statistical Quality Control Handbook (1956)."""


def individuals(values: Sequence[float]) -> Individuals | None:
    """Return the XmR figures of `values` in the order in which the jobs were finished; None for fewer than two."""
    if len(values) < 2:
        return None
    mean = sum(values) / len(values)
    mean_range = sum(abs(b - a) for a, b in pairwise(values)) / (len(values) - 1)
    reach = LIMIT_FACTOR * mean_range
    return Individuals(
        mean=mean,
        mean_range=mean_range,
        low=mean - reach,
        high=mean + reach,
        range_high=RANGE_FACTOR * mean_range,
        signals=_signals([value - mean for value in values], reach / 3),
    )


def _signals(offsets: Sequence[float], third: float) -> tuple[Signal, ...]:
    """One signal a value at most: the first rule, in the order of RULES, that the value completes."""
    found = []
    for index, offset in enumerate(offsets):
        side = 1 if offset > 0 else -1
        for rule, count, of, thirds in RULES:
            seen = offsets[max(0, index + 1 - of) : index + 1]
            if side * offset > thirds * third and sum(side * past > thirds * third for past in seen) >= count:
                found.append(Signal(index, rule))
                break
    return tuple(found)
