"""Did it change? Two sets of times compared without leaning on a bell curve: the Hodges-Lehmann shift.

The shift is the median of all differences between a time of the one set and a time of the other. Its interval is made
of those differences too, and inverts the rank-sum test: it holds no shift that the test would reject (Hollander and
Wolfe, Nonparametric Statistical Methods, 4.2 and 4.3).
"""

from dataclasses import dataclass
from math import floor, sqrt
from statistics import NormalDist
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .statistics import CONFIDENCE, FEWEST, Values, ranked

EXACT_UP_TO = 50
"""Where neither set has more values than this, the rank-sum test's own distribution is used, else the normal one."""


@dataclass(frozen=True)
class Shift:
    """By how much the later times lie above the earlier ones, in the values' unit, with its interval.

    An end is None where so few values cannot give it.
    """

    n_before: int
    n_after: int
    shift: float
    low: float | None
    high: float | None

    @property
    def shown(self) -> bool:
        """Whether a difference is shown: the interval lies on one side of nought."""
        return (self.low is not None and self.low > 0) or (self.high is not None and self.high < 0)


def shift(before: Values, after: Values, confidence: float = CONFIDENCE) -> Shift | None:
    """Compare two sets of values; None where either has fewer than `FEWEST`."""
    n, m = len(before), len(after)
    if min(n, m) < FEWEST:
        return None
    x, y = ranked(before), ranked(after)
    pairs = n * m
    middle = (_difference(x, y, (pairs + 1) // 2) + _difference(x, y, pairs // 2 + 1)) / 2
    below = left_out(n, m, confidence)
    return Shift(
        n_before=n,
        n_after=m,
        shift=middle,
        low=_difference(x, y, below) if below else None,
        high=_difference(x, y, pairs + 1 - below) if below else None,
    )


def left_out(n: int, m: int, confidence: float = CONFIDENCE) -> int:
    """Counted from either end, which of the n·m ordered differences bounds the interval; 0 where none does."""
    tail = (1 - confidence) / 2
    if max(n, m) <= EXACT_UP_TO:
        ways = _rank_sums(n, m)
        total, seen, count = sum(ways), 0, 0
        while seen + ways[count] <= tail * total:
            seen += ways[count]
            count += 1
        return count
    z = NormalDist().inv_cdf(1 - tail)
    return max(0, floor(n * m / 2 - z * sqrt(n * m * (n + m + 1) / 12)))


def _rank_sums(n: int, m: int) -> list[int]:
    """How many orders of n and m values have each Mann-Whitney count from 0 to n·m: the Gaussian binomial."""
    ways = [1] + [0] * (n * m)
    for i in range(1, n + 1):
        for k in range(n * m, m + i - 1, -1):
            ways[k] -= ways[k - m - i]
        for k in range(i, n * m + 1):
            ways[k] += ways[k - i]
    return ways


def _difference(x: NDArray[np.float64], y: NDArray[np.float64], rank: int) -> float:
    """The difference y - x of that rank, counted from 1. Millions of them are counted, never written down."""
    low, high = float(y[0] - x[-1]), float(y[-1] - x[0])
    if _count(x, y, low) >= rank:
        return low
    while True:
        middle = low + (high - low) / 2
        if not low < middle < high:
            return _largest(x, y, high)
        if _count(x, y, middle) >= rank:
            high = middle
        else:
            low = middle


def _count(x: NDArray[np.float64], y: NDArray[np.float64], limit: float) -> int:
    """How many differences are no larger than the limit."""
    return int(np.searchsorted(y, x + limit, side="right").sum())


def _largest(x: NDArray[np.float64], y: NDArray[np.float64], limit: float) -> float:
    """The largest difference that is no larger than the limit."""
    at = np.searchsorted(y, x + limit, side="right") - 1
    found: NDArray[Any] = np.where(at >= 0, y[np.maximum(at, 0)] - x, -np.inf)
    return float(found.max())
