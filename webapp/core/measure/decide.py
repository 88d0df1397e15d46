"""Inside, outside, or too close to call: a value against its limits, with a guard band of U = 2u.

The rule (ISO 14253-1, ILAC-G8): inside if low + g <= value <= high - g; outside if value < low - g or
value > high + g; otherwise too close to call. The boundaries are exact for decimal readings: 0.38 with g = 0.12
is inside ±0.50, although the nearest binary numbers to these would leave that to chance.
"""

from dataclasses import dataclass
from fractions import Fraction
from math import erfc, sqrt
from typing import Literal

from ..errors import BadInput
from ..numbers import number
from .instruments import COVERAGE
from .reading import Range
from .student import widening

ANY_VALUE = Range("", -1_000_000_000, 1_000_000_000)  # any unit a step may use, from volts to millimetres
ANY_U = Range("", 1e-9, 1_000_000_000)  # no reading is without uncertainty

MOST_REPEATS = 30
"""Nobody measures a thing more often than this; from here on a better method is asked for."""

Verdict = Literal["inside", "outside", "too-close-to-call"]
Exact = int | Fraction
Limit = Exact | None


@dataclass(frozen=True)
class Decision:
    """The verdict, the guard band it was made with, and the probability that the true value lies inside."""

    verdict: Verdict
    guard: float
    p_inside: float


def decide(value: Exact, u: Exact, low: Limit, high: Limit) -> Decision:
    """Return the verdict on a value with standard uncertainty u; either limit may be missing, but not both.

    Values are exact fractions (see reading.read_exact). Raises BadInput where low > high or both are missing.
    """
    check_limits(low, high)
    guard = COVERAGE * u
    return Decision(_verdict(value, guard, low, high), float(guard), p_inside(value, u, low, high))


def check_limits(low: Limit, high: Limit) -> None:
    if low is None and high is None:
        raise BadInput("no-limit", "low", "low and high are both null: give at least one limit to decide against")
    if low is not None and high is not None and low > high:
        message = f"low={number(float(low))} must not be more than high={number(float(high))}"
        raise BadInput("limits-crossed", "low", message)


def _verdict(value: Exact, guard: Exact, low: Limit, high: Limit) -> Verdict:
    if (low is not None and value < low - guard) or (high is not None and value > high + guard):
        return "outside"
    if (low is None or value >= low + guard) and (high is None or value <= high - guard):
        return "inside"
    return "too-close-to-call"


def p_inside(value: Exact, u: Exact, low: Limit, high: Limit) -> float:
    """Return the probability that the true value lies within the limits, normally distributed about the reading."""
    below = 0.0 if low is None else _share_beyond(float((value - low) / u))
    above = 0.0 if high is None else _share_beyond(float((high - value) / u))
    return max(0.0, 1.0 - below - above)


def _share_beyond(standard_uncertainties: float) -> float:
    return erfc(standard_uncertainties / sqrt(2)) / 2


def repeats_to_settle(value: Exact, u_instrument: float, s: float, low: Limit, high: Limit) -> int | None:
    """Return how many readings with this mean would settle a value that is too close to call; None if none would.

    u_instrument: the part that repeating does not reduce (type B). s: the scatter of single readings (type A), so
    that n readings have u² = u_instrument² + (s·w)²/n, w widening what n readings can say of s (see student.py).
    None also where more than MOST_REPEATS would be needed.
    """
    check_limits(low, high)
    room = _room(value, low, high)
    to_spare = room * room / COVERAGE**2 - Fraction(u_instrument) ** 2

    def settled(count: int) -> bool:
        short = Fraction(s * widening(count - 1)) ** 2 / count - to_spare
        # Inside takes its boundary in, outside does not: there a guard band just as wide as the room settles nothing.
        return short < 0 or (short == 0 and room > 0)

    if to_spare <= 0 or not settled(MOST_REPEATS):
        return None
    few, enough = 1, MOST_REPEATS
    while enough - few > 1:  # what settles it with some readings settles it with more
        middle = (few + enough) // 2
        few, enough = (few, middle) if settled(middle) else (middle, enough)
    return enough


def _room(value: Exact, low: Limit, high: Limit) -> Fraction:
    """Return the widest guard band that still gives a verdict: to the nearest limit, negative beyond one."""
    above = [] if low is None else [Fraction(value - low)]
    below = [] if high is None else [Fraction(high - value)]
    return min(above + below)
