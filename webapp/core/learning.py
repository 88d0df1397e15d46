"""The learning curve: what somebody's n-th job of a kind takes, T_n = T_1 * n^b (Wright, Journal of the Aeronautical
Sciences 3, 1936), fitted by least squares to the logarithms. It is shown to who learns, and never to rank people."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, log, sqrt
from typing import Any

import numpy as np
from numpy.typing import NDArray

from .statistics import CONFIDENCE

FEWEST_FOR_CURVE = 8
"""With fewer jobs than this there are the dots, and no curve."""


@dataclass(frozen=True)
class Curve:
    """`first_s` is T_1 and `exponent` b with its interval; `now_s` is what the curve says of the last of the jobs."""

    n: int
    first_s: float
    exponent: float
    low: float
    high: float
    now_s: float

    @property
    def shown(self) -> bool:
        """Whether learning is shown: the exponent's interval lies below nought."""
        return self.high < 0

    @property
    def doubling(self) -> float:
        """What twice as many jobs make of the time: 0.9 is a tenth less."""
        return float(2**self.exponent)

    def at(self, nth: float) -> float:
        """What the curve says of the n-th job, in seconds."""
        return self.first_s * float(nth**self.exponent)


def curve(nth: Sequence[int] | NDArray[Any], seconds: Sequence[float] | NDArray[Any]) -> Curve | None:
    """Fit the curve to the times of somebody's jobs, each with its number (from 1); None for fewer than
    FEWEST_FOR_CURVE. The times must be above 0.

    The interval is Student's t for the slope, with n - 2 degrees of freedom.
    """
    n = len(seconds)
    if n < FEWEST_FOR_CURVE:
        return None
    from scipy.special import stdtrit  # as in `statistics`: not every start of the server needs it

    x, y = np.log(np.asarray(nth, float)), np.log(np.asarray(seconds, float))
    spread = float(((x - x.mean()) ** 2).sum())
    slope = float(((x - x.mean()) * (y - y.mean())).sum()) / spread
    level = float(y.mean()) - slope * float(x.mean())
    rest = y - level - slope * x
    half = float(stdtrit(n - 2, 0.5 + CONFIDENCE / 2)) * sqrt(float((rest**2).sum()) / (n - 2) / spread)
    return Curve(n, exp(level), slope, slope - half, slope + half, exp(level + slope * log(float(np.max(nth)))))
