"""What a shop may say about its own times, and how sure it may be of it.

A handful of jobs is skewed and small, so nothing here leans on a bell curve where it can be helped: the median and the
80th percentile stand instead of a mean, their intervals come from order statistics alone, and with fewer than
`FEWEST` jobs there are the dots and no statistics at all. The individuals chart is in `individuals.py`.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import ceil, floor, log, sqrt
from statistics import NormalDist
from typing import Any

import numpy as np
from numpy.typing import NDArray

Values = Sequence[float] | NDArray[Any]

FEW_TO_SORT = 1500


class Ranks:
    """Values that are asked by their rank, none of them negative.

    Few are sorted. Of many only those are that share the upper half of their 32-bit float with the one asked for, which
    is a relative width of 1/128: a histogram finds them in one pass, and what comes back is the value itself.
    """

    def __init__(self, values: NDArray[Any]) -> None:
        self._n = len(values)
        self._sorted: NDArray[Any] | None = None
        if self._n <= FEW_TO_SORT:
            self._sorted = np.sort(values, kind="stable")
            return
        self._values = values
        self._bins = values.astype("<f4").view("<u2")[1::2]
        self._below = np.concatenate(([0], np.cumsum(np.bincount(self._bins))))
        self._bin: dict[int, NDArray[Any]] = {}

    def __len__(self) -> int:
        return self._n

    def __getitem__(self, rank: int) -> float:
        """The value of that rank, from 0."""
        if self._sorted is not None:
            return float(self._sorted[rank])
        number = int(np.searchsorted(self._below, rank, side="right")) - 1
        if number not in self._bin:
            self._bin[number] = np.sort(self._values[self._bins == number])
        return float(self._bin[number][rank - int(self._below[number])])


FEWEST = 5
"""With fewer jobs than this there are the dots, and no statistics."""

CONFIDENCE = 0.95


@dataclass(frozen=True)
class Interval:
    """Where the truth lies, with at least the confidence asked for.

    An end is None where that many values cannot give it; `needs` says how many values both ends take. `coverage` is
    the exact probability that holds (an order-statistic interval is always a little surer than asked).
    """

    low: float | None
    high: float | None
    coverage: float
    needs: int


@dataclass(frozen=True)
class Rate:
    """`passed` of `n`, with its Wilson interval; `low` and `high` are None where there are fewer than `FEWEST`."""

    passed: int
    n: int
    low: float | None
    high: float | None

    @property
    def rate(self) -> float | None:
        return self.passed / self.n if self.n else None


@dataclass(frozen=True)
class Summary:
    """Median and 80th percentile of `n` values, in the values' own unit, each with its interval."""

    n: int
    median: float
    median_interval: Interval
    p80: float
    p80_interval: Interval


def summary(values: Values | Ranks) -> Summary | None:
    """Return the two quantiles a shop plans by, or None for fewer than `FEWEST` values: then show the dots alone."""
    if len(values) < FEWEST:
        return None
    values = ranks(values)
    return Summary(
        n=len(values),
        median=quantile(values, 0.5),
        median_interval=quantile_interval(values, 0.5),
        p80=quantile(values, 0.8),
        p80_interval=quantile_interval(values, 0.8),
    )


def ranks(values: Values | Ranks) -> Ranks:
    return values if isinstance(values, Ranks) else Ranks(np.asarray(values))


def ranked(values: Values) -> NDArray[np.float64]:
    """The values in order."""
    return np.sort(np.asarray(values, np.float64), kind="stable")


def quantile(values: Values | Ranks, p: float) -> float:
    """Return the value below which the fraction `p` lies: the line drawn through the sorted values at (n - 1)·p.

    This is definition 7 of Hyndman and Fan (The American Statistician 50, 1996), the default of numpy and of common
    spreadsheets, so that a manager who checks the CSV finds the same figure.
    """
    by_rank = ranks(values)
    place = (len(by_rank) - 1) * p
    below = floor(place)
    above = min(below + 1, len(by_rank) - 1)
    return by_rank[below] + (by_rank[above] - by_rank[below]) * (place - below)


def quantile_interval(values: Values | Ranks, p: float, confidence: float = CONFIDENCE) -> Interval:
    """Return the order-statistic interval of the `p` quantile, whatever the values' distribution.

    How many of n values lie below the quantile is binomial(n, p), so the k-th smallest value is below it with a
    probability that needs no assumption (Conover, Practical Nonparametric Statistics, 3.2). Each tail keeps to half of
    what the confidence leaves over; a tail that n values cannot keep to leaves its end open.
    """
    by_rank = ranks(values)
    n, tail = len(by_rank), (1 - confidence) / 2
    low, high, coverage = _bounds(n, p, tail)
    return Interval(
        low=by_rank[low - 1] if low >= 1 else None,
        high=by_rank[high - 1] if high <= n else None,
        coverage=coverage,
        needs=_fewest_for(p, tail),
    )


@lru_cache(maxsize=4096)  # the steps of a page are all of the same few numbers of jobs
def _bounds(n: int, p: float, tail: float) -> tuple[int, int, float]:
    """How many of the smallest values are surely below the quantile, which value is surely above it, and how surely."""
    from scipy.special import bdtr  # takes a quarter of a second to load, which not every start of the server needs

    def below(k: int) -> float:
        """How probable it is that at most k of the values lie below the quantile."""
        return float(bdtr(k, n, p))

    low = bisect_right(range(n), tail, key=below)
    high = bisect_left(range(n), 1 - tail, key=below) + 1
    return low, high, (below(high - 1) if high <= n else 1.0) - (below(low - 1) if low >= 1 else 0.0)


def _fewest_for(p: float, tail: float) -> int:
    """The smallest n whose smallest and largest values reach both tails: p^n and (1 - p)^n at most `tail`."""
    return ceil(log(tail) / log(max(p, 1 - p)))


def pass_rate(passed: int, n: int, confidence: float = CONFIDENCE) -> Rate:
    """Return the rate with its score interval (Wilson, JASA 22, 1927), which holds at 0 and at n as well."""
    if n < FEWEST:
        return Rate(passed, n, None, None)
    z = NormalDist().inv_cdf(0.5 + confidence / 2)
    centre = (passed + z * z / 2) / (n + z * z)
    half = z / (n + z * z) * sqrt(passed * (n - passed) / n + z * z / 4)
    return Rate(passed, n, max(0.0, centre - half), min(1.0, centre + half))
