"""Lengths as a shop writes them: in mm, or in inches with fractions to 1/16. What is kept and judged is in mm."""

from math import ceil, floor
from typing import Literal

from .numbers import rounded

Unit = Literal["mm", "in"]
MM: Unit = "mm"
INCHES: Unit = "in"

INCH_MM = 25.4
PARTS = 16
MINUS = "\u2212"
JOIN = "\u00a0"
"""Between inches and their fraction: as wide as a blank, lest 5 1/16 be read as 51/16, and no place to break a line."""

GRAIN = 1e-6
"""What a sum's last digits add or take, in sixteenths; no limit moves by a whole sixteenth for it."""


def inches(length_mm: float) -> str:
    """To the nearest sixteenth: 1500 as `59 1/16`."""
    return _sixteenths(floor(abs(length_mm) * PARTS / INCH_MM + 0.5), length_mm < 0)


def inches_read(length_mm: float) -> str:
    """As it was read off a rule, by its fraction; what is no sixteenth, in decimals."""
    size = abs(length_mm) * PARTS / INCH_MM
    if abs(size - rounded(size, 0)) < 0.001:
        return inches(length_mm)
    text = f"{rounded(abs(length_mm) / INCH_MM, 3):.3f}".rstrip("0").rstrip(".")
    return (MINUS if length_mm < 0 else "") + text


def inch_limits(low_mm: float | None, high_mm: float | None) -> tuple[str | None, str | None]:
    """The widest limits in sixteenths that lie within these; in decimals where they are too close for any.

    So a reading that fits the figures shown fits the true ones.
    """
    low = None if low_mm is None else ceil(low_mm * PARTS / INCH_MM - GRAIN)
    high = None if high_mm is None else floor(high_mm * PARTS / INCH_MM + GRAIN)
    if low is not None and high is not None and low > high:
        return inches_read(low_mm or 0.0), inches_read(high_mm or 0.0)
    lower, upper = (None if one is None else _sixteenths(abs(one), one < 0) for one in (low, high))
    return lower, upper


def _sixteenths(count: int, negative: bool) -> str:
    whole, part, parts = count // PARTS, count % PARTS, PARTS
    while part and part % 2 == 0:
        part, parts = part // 2, parts // 2
    fraction = f"{part}/{parts}" if part else ""
    text = JOIN.join(one for one in (str(whole) if whole or not part else "", fraction) if one)
    return (MINUS if negative and count else "") + text


def roomy(length_mm: float, unit: Unit) -> float:
    """A length of floor as people pace it out: in whole inches, or in metres with one decimal. Twelve feet are 144."""
    return rounded(length_mm / INCH_MM, 0) if unit == INCHES else rounded(length_mm / 1000, 1)


def roomy_unit(unit: Unit) -> str:
    """The unit of `roomy`."""
    return INCHES if unit == INCHES else "m"
