"""Times counted by how long they took, in bins that each reach 2 % further than the one before.

Counts of many shops and months add up, so quantiles of millions of jobs are read off a few hundred numbers; what is
read lies in the middle of its bin, at most 1 % off. Shorter and longer times go into the first and the last bin.
"""

from collections.abc import Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from .statistics import Ranks

SHORTEST_S, LONGEST_S, STEP = 15.0, 172_800.0, 1.02
BINS = int(np.ceil(np.log(LONGEST_S / SHORTEST_S) / np.log(STEP)))
EDGES_S: NDArray[np.float64] = SHORTEST_S * np.power(STEP, np.arange(BINS + 1, dtype=np.float64))
MIDDLES_S: NDArray[np.float64] = np.sqrt(EDGES_S[:-1] * EDGES_S[1:])
KEPT = np.dtype("<u4")

Counts = NDArray[np.int64]


def counted(seconds: Sequence[float]) -> Counts:
    """How many of the times lie in each bin."""
    within = np.clip(np.asarray(seconds, np.float64), EDGES_S[0], np.nextafter(EDGES_S[-1], 0))
    return np.histogram(within, EDGES_S)[0]


def packed(counts: Counts) -> bytes:
    """The counts as they are kept: little-endian, four bytes each, without the empty bins at the end."""
    return counts.astype(KEPT).tobytes().rstrip(b"\x00")


def together(kept: Iterable[bytes]) -> Counts:
    """The sum of counts that were kept."""
    total = np.zeros(BINS, np.int64)
    for one in kept:
        some = np.frombuffer(one.ljust(-(-len(one) // KEPT.itemsize) * KEPT.itemsize, b"\x00"), KEPT)
        total[: len(some)] += some
    return total


class Binned(Ranks):
    """The counted times asked by their rank, for `statistics.summary`; as exact as a bin is wide."""

    def __init__(self, counts: Counts) -> None:
        self._up_to = np.cumsum(counts)

    def __len__(self) -> int:
        return int(self._up_to[-1])

    def __getitem__(self, rank: int) -> float:
        return float(MIDDLES_S[np.searchsorted(self._up_to, rank, side="right")])
