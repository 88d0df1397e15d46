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

FEW_TO_SORT = 300
ASKED = (0.5, 0.8)
"""The quantiles that a shop plans by."""


class Ranks:
    """Values that are asked by their rank. Few are sorted; of many, the ranks that these quantiles and their intervals
    take are put into their places, which is a few times quicker. `in_order`: they are sorted already."""

    def __init__(self, values: NDArray[Any], asked: tuple[float, ...] = ASKED, *, in_order: bool = False) -> None:
        self._values, self._there = values, None
        if len(values) > FEW_TO_SORT and not in_order:
            self._there = _wanted(len(values), asked)
            self._values = np.partition(values, sorted(self._there))
        elif not in_order:
            self._values = np.sort(values)

    def __len__(self) -> int:
        return len(self._values)

    def __getitem__(self, rank: int) -> float:
        """The value of that rank, from 0."""
        if self._there is not None and rank not in self._there:
            return float(np.partition(self._values, rank)[rank])
        return float(self._values[rank])


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
class Middle:
    """The median of `n` values, in the values' own unit, with its interval, or None where it was not asked for."""

    n: int
    median: float
    median_interval: Interval | None


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


def middle(values: Values | Ranks, *, sure: bool = True) -> Middle | None:
    """Return the median alone, or None for fewer than `FEWEST` values; unless `sure`, without its interval."""
    if len(values) < FEWEST:
        return None
    by_rank = values if isinstance(values, Ranks) else Ranks(np.asarray(values), (0.5,))
    return Middle(len(values), quantile(by_rank, 0.5), quantile_interval(by_rank, 0.5) if sure else None)


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


@lru_cache(maxsize=4096)
def _wanted(n: int, asked: tuple[float, ...]) -> frozenset[int]:
    """The ranks that these quantiles of n values and their intervals are read at, from 0."""
    found = set()
    for p in asked:
        below = floor((n - 1) * p)
        low, high, _ = _bounds(n, p, (1 - CONFIDENCE) / 2)
        found |= {below, min(below + 1, n - 1), max(low - 1, 0), min(high - 1, n - 1)}
    return frozenset(found)


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
