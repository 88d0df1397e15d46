"""How sure a reading is: the instrument's part (type B) and the repeats' part (type A), combined (JCGM 100).

The figures here are the usual ones of the trade; a shop's own equipment list may state better or worse ones.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import ceil, fsum, sqrt
from typing import Any

from ..errors import BadInput

COVERAGE = 2
"""Expanded uncertainty U = 2u, about 95 % of readings."""


SHAPES = {"rectangular": 3.0, "triangular": 6.0}
"""How errors are spread within ±half-width: equally likely, or rarer towards the ends; u = half-width over the root."""


@dataclass(frozen=True)
class Instrument:
    """A measuring instrument whose error lies within ±(limit + limit_per_m · L), L the reading in metres rounded up.

    As a rule every value in that interval is taken to be equally likely (rectangular). A certificate's expanded
    uncertainty U has the shape `expanded`, and then u = U / k.
    """

    kind: str
    unit: str
    limit: float
    limit_per_m: float = 0.0
    shape: str = "rectangular"
    k: float = 2.0

    def half_width(self, reading: float) -> float:
        """Return the largest error at this reading, in the instrument's unit; only a tape's grows with length."""
        return self.limit + self.limit_per_m * ceil(abs(reading) / 1000)

    def u(self, reading: float) -> float:
        """Return the type B standard uncertainty at this reading, in the instrument's unit."""
        return self.half_width(reading) / (self.k if self.shape == "expanded" else sqrt(SHAPES[self.shape]))


TAPE_CLASS_II = Instrument("tape-class-ii", "mm", 0.3, 0.2)
SCALE = Instrument("scale", "mm", 0.5)
PLUMB_BOB = Instrument("plumb-bob", "mm", 1.0)
INCLINOMETER = Instrument("inclinometer", "deg", 0.1)
INSTRUMENTS = {one.kind: one for one in (TAPE_CLASS_II, SCALE, PLUMB_BOB, INCLINOMETER)}
UNITS = {
    "tape": "mm",
    "scale": "mm",
    "plumb-bob": "mm",
    "distance-meter": "mm",
    "inclinometer": "deg",
    "tyre-gauge": "kPa",
    "light-meter": "lx",
}
"""The kinds of instrument that a step may ask for, each with the unit that it reads."""


def instrument_of(kind: str, accuracy: Mapping[str, Any]) -> Instrument:
    """An instrument of the shop's own, its accuracy as the kit states it: {shape, half_width, per_m, k}."""
    return Instrument(
        kind, UNITS[kind], accuracy["half_width"], accuracy["per_m"], accuracy["shape"], accuracy["k"] or 2.0
    )


@dataclass(frozen=True)
class Repeats:
    """Repeated readings of one quantity: their mean, their scatter s, and the mean's type A uncertainty u = s/√n."""

    count: int
    mean: float
    s: float
    u: float


def repeated(readings: Sequence[float]) -> Repeats:
    """Return mean and scatter of at least two readings. One reading says nothing of its own scatter: refused."""
    count = len(readings)
    if count < 2:
        message = f"readings has {count} values, but their scatter can only be told from 2 or more"
        raise BadInput("too-few-readings", "readings", message)
    mean = fsum(readings) / count
    s = sqrt(fsum((reading - mean) * (reading - mean) for reading in readings) / (count - 1))
    return Repeats(count, mean, s, s / sqrt(count))


def combined(uncertainties: Iterable[float]) -> float:
    """Return the standard uncertainty of a sum of independent parts. Scale each by its sensitivity beforehand."""
    return sqrt(fsum(u * u for u in uncertainties))


def expanded(u: float) -> float:
    """Return U = 2u, which is also the guard band of a decision."""
    return COVERAGE * u
