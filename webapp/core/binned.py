"""Times counted by how long they took, in bins that each reach a little further than the one before.

Counts of many shops and months add up, so quantiles of millions of jobs are read off a few hundred numbers; what is
read lies in the middle of its bin, at most half a bin off. Shorter and longer times go into the first and the last bin.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import chain

import numpy as np
from numpy.typing import NDArray

from .shift import Shift, left_out
from .statistics import FEWEST, Ranks

KEPT = np.dtype("<u4")

Counts = NDArray[np.int64]


@dataclass(frozen=True)
class Scale:
    """Bins from `shortest_s` to at least `longest_s`, each `step` times as long as the one before."""

    shortest_s: float
    longest_s: float
    step: float

    @cached_property
    def bins(self) -> int:
        return int(np.ceil(np.log(self.longest_s / self.shortest_s) / np.log(self.step)))

    @cached_property
    def edges_s(self) -> NDArray[np.float64]:
        return self.shortest_s * np.power(self.step, np.arange(self.bins + 1, dtype=np.float64))

    @cached_property
    def middles_s(self) -> NDArray[np.float64]:
        return np.sqrt(self.edges_s[:-1] * self.edges_s[1:])


WHOLE = Scale(15.0, 172_800.0, 1.02)
"""For calibrations: a figure is at most 1 % off."""
PART = Scale(1.0, 86_400.0, 1.05)
"""For their steps, waits and pauses, of which there are many: at most 2.5 % off."""


def counted(seconds: Sequence[float], scale: Scale = WHOLE) -> Counts:
    """How many of the times lie in each bin."""
    counts: Counts = counted_each([seconds], scale)[0]
    return counts


def counted_each(several: Sequence[Sequence[float]], scale: Scale = WHOLE) -> Counts:
    """The same of several lots of times at once: a row for each."""
    rows = np.repeat(np.arange(len(several)), [len(one) for one in several])
    seconds = np.fromiter(chain.from_iterable(several), np.float64, len(rows))
    bins = np.clip(np.searchsorted(scale.edges_s, seconds, side="right") - 1, 0, scale.bins - 1)
    counts: Counts = np.bincount(rows * scale.bins + bins, minlength=len(several) * scale.bins)
    return counts.reshape(len(several), scale.bins)


def packed(counts: Counts) -> bytes:
    """The counts as they are kept: little-endian, four bytes each, without the empty bins at the end."""
    return counts.astype(KEPT).tobytes().rstrip(b"\x00")


def together(kept: Iterable[bytes], scale: Scale = WHOLE) -> Counts:
    """The sum of counts that were kept."""
    total = np.zeros(scale.bins, np.int64)
    for one in kept:
        some = np.frombuffer(one.ljust(-(-len(one) // KEPT.itemsize) * KEPT.itemsize, b"\x00"), KEPT)
        total[: len(some)] += some
    return total


class Binned(Ranks):
    """The counted times asked by their rank, for `statistics.summary`; as exact as a bin is wide."""

    def __init__(self, counts: Counts, scale: Scale = WHOLE) -> None:
        self._up_to, self._scale = np.cumsum(counts), scale

    def __len__(self) -> int:
        return int(self._up_to[-1])

    def __getitem__(self, rank: int) -> float:
        return float(self._scale.middles_s[np.searchsorted(self._up_to, rank, side="right")])


def shifted(before: Counts, after: Counts, scale: Scale = WHOLE) -> Shift | None:
    """Compare two sets of counted times as `shift.shift` compares times; None where either has fewer than `FEWEST`.

    Each pair of bins stands for as many pairs of times as their counts multiplied.
    """
    n, m = int(before.sum()), int(after.sum())
    if min(n, m) < FEWEST:
        return None
    early, late = np.flatnonzero(before), np.flatnonzero(after)
    apart = (scale.middles_s[late][None, :] - scale.middles_s[early][:, None]).ravel()
    order = np.argsort(apart)
    up_to = np.cumsum((before[early][:, None] * after[late][None, :]).ravel()[order])

    def of_rank(rank: int) -> float:
        """The difference of that rank, counted from 1."""
        return float(apart[order[np.searchsorted(up_to, rank)]])

    pairs, below = n * m, left_out(n, m)
    middle = (of_rank((pairs + 1) // 2) + of_rank(pairs // 2 + 1)) / 2
    low, high = (of_rank(below), of_rank(pairs + 1 - below)) if below else (None, None)
    return Shift(n, m, middle, low, high)
