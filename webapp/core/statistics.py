"""What a shop may say about its own times, and how sure it may be of it.

A handful of jobs is skewed and small, so nothing here leans on a bell curve where it can be helped: the median and the
80th percentile stand instead of a mean, their intervals come from order statistics alone, and with fewer than
`FEWEST` jobs there are the dots and no statistics at all. The individuals chart is in `individuals.py`.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, floor, log, sqrt
from statistics import NormalDist

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


def summary(values: Sequence[float]) -> Summary | None:
    """Return the two quantiles a shop plans by, or None for fewer than `FEWEST` values: then show the dots alone."""
    if len(values) < FEWEST:
        return None
    return Summary(
        n=len(values),
        median=quantile(values, 0.5),
        median_interval=quantile_interval(values, 0.5),
        p80=quantile(values, 0.8),
        p80_interval=quantile_interval(values, 0.8),
    )


def quantile(values: Sequence[float], p: float) -> float:
    """Return the value below which the fraction `p` lies: the line drawn through the sorted values at (n - 1)·p.

    This is definition 7 of Hyndman and Fan (The American Statistician 50, 1996), the default of numpy and of common
    spreadsheets, so that a manager who checks the CSV finds the same figure.
    """
    ranked = sorted(values)
    place = (len(ranked) - 1) * p
    below = floor(place)
    above = min(below + 1, len(ranked) - 1)
    return ranked[below] + (ranked[above] - ranked[below]) * (place - below)


def quantile_interval(values: Sequence[float], p: float, confidence: float = CONFIDENCE) -> Interval:
    """Return the order-statistic interval of the `p` quantile, whatever the values' distribution.

    How many of n values lie below the quantile is binomial(n, p), so the k-th smallest value is below it with a
    probability that needs no assumption (Conover, Practical Nonparametric Statistics, 3.2). Each tail keeps to half of
    what the confidence leaves over; a tail that n values cannot keep to leaves its end open.
    """
    from scipy.special import bdtr  # takes a quarter of a second to load, which not every start of the server needs

    ranked = sorted(values)
    n, tail = len(ranked), (1 - confidence) / 2
    below = [float(bdtr(k, n, p)) for k in range(n)]  # below[k]: at most k of the values lie below the quantile
    low = bisect_right(below, tail)  # so many of the smallest values are surely below it
    high = bisect_left(below, 1 - tail) + 1  # this value, counted from 1, is surely above it
    return Interval(
        low=ranked[low - 1] if low >= 1 else None,
        high=ranked[high - 1] if high <= n else None,
        coverage=(below[high - 1] if high <= n else 1.0) - (below[low - 1] if low >= 1 else 0.0),
        needs=_fewest_for(p, tail),
    )


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
