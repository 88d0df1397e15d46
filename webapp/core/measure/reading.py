"""What a technician types, or a file states, made into a number: the one place that knows decimals, blanks and units.

A reading is refused when it is not finite, carries another unit than its field, or lies outside the method's stated
physical range. Nothing is guessed: ``1,506`` is 1.506 (a decimal comma), and the range then says that no tape is
that short. A length may be given in feet and inches too (``12 3/8"``, ``4' 1/2"``), and in a shop that works in inches
a number without a unit is one of inches: its fields say so. What comes back is always in mm.
"""

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from ..errors import BadInput, shown
from ..lengths import INCH_MM, INCHES, MM, Unit
from ..numbers import number, rounded


@lru_cache(maxsize=512)
def _exactly(number: float) -> Fraction:
    """A number as its decimal digits say it. Mostly one of a few bounds, asked for with every reading: so remembered.

    By way of a Decimal, which is read several times faster, and as exactly.
    """
    return Fraction(Decimal(repr(number)))


@dataclass(frozen=True)
class Range:
    """A unit, and the range, both ends included, in which a value can be physically true."""

    unit: str
    low: float
    high: float

    def holds(self, value: Fraction) -> bool:
        """Say whether an exact value lies within; 0.001 is no less than a low of 0.001, whatever its nearest float."""
        return _exactly(self.low) <= value <= _exactly(self.high)

    def __str__(self) -> str:
        return f"{number(self.low)} to {number(self.high)}"


SPELLINGS = {
    "mm": ("mm",),
    "deg": ("deg", "°", "º"),
    "mm/m": ("mm/m",),
    "kPa": ("kpa",),
    "bar": ("bar",),
    "degC": ("degc", "°c", "ºc"),
    "km": ("km",),
    "km/h": ("km/h",),
    "kg": ("kg",),
    "s": ("s",),
    "V": ("v",),
    "lx": ("lx", "lux"),
    "%": ("%",),
}
"""How each unit may be typed behind its number, in lower case."""

INCH = Fraction(127, 5)
"""In mm, exactly."""

INCH_SPELLINGS = ("in", "inch", "inches", '"', "\u2033", "\u201d", "''")
PARTS = {"1/2", "1/4", "3/4"} | {f"{top}/{parts}" for parts in (8, 16, 32, 64) for top in range(1, parts, 2)}
"""The fractions that a rule has."""

SIGNS_FOR = {
    "\u00bd": "1/2",
    "\u00bc": "1/4",
    "\u00be": "3/4",
    "\u215b": "1/8",
    "\u215c": "3/8",
    "\u215d": "5/8",
    "\u215e": "7/8",
}
LONGEST_TEXT = 40
BLANKS = re.compile("[\u0009\u0020\u00a0\u2007\u2009\u202f]+")
NOT_FINITE = re.compile(r"[+-]?(?:(?:inf|infinity|nan)\b|∞)", re.IGNORECASE | re.ASCII)
TYPED = re.compile(
    r"(?P<sign>[+-]?) ?"
    r"(?P<whole>[0-9]{1,3}(?: [0-9]{3})+|[0-9]*)"
    r"(?:[.,](?P<part>[0-9]*))?"
    r" ?(?P<unit>[^0-9., +-][^0-9]*)?"
)

SPAN = re.compile(
    r"(?P<sign>[+-]?) ?"
    r"(?:(?P<feet>[0-9]+) ?(?:'|\u2032|ft) ?(?:- ?)?)?"
    r"(?:(?P<whole>[0-9]+)(?:[ -] ?(?P<part>[0-9]+ ?/ ?[0-9]+))?|(?P<alone>[0-9]+ ?/ ?[0-9]+))?"
    r" ?(?P<unit>[^0-9., +-][^0-9]*)?",
    re.IGNORECASE,
)


def read(value: object, field: str, allowed: Range, unit: Unit = MM) -> float:
    """Return the reading as a float in the allowed range's unit.

    value: a number, or text with decimal comma or point, blanks between groups of three, and the field's own unit.
    unit: what a length without a unit is typed in. Raises BadInput (missing, not-a-number, not-finite, wrong-unit,
    out-of-range), naming field and value.
    """
    if isinstance(value, float | int) and allowed.low <= value <= allowed.high and not isinstance(value, bool):
        return float(value)  # its digits lie where it does, so there is no need to reckon with them
    return float(read_exact(value, field, allowed, unit))


def read_exact(value: object, field: str, allowed: Range, unit: Unit = MM) -> Fraction:
    """Return the reading exactly as its decimal digits say it: 0.38 is 38/100 here, not the nearest binary number.

    A float stands for the shortest decimal that names it, which is the literal that was read from the file.
    """
    exact = _typed(value, field, allowed, unit) if isinstance(value, str) else _stated(value, field, allowed)
    if not allowed.holds(exact):
        raise BadInput("out-of-range", field, f"{field}={shown(value)} must lie within {_bounds(allowed, unit)}")
    return exact


def in_inches(allowed: Range, unit: Unit) -> bool:
    """Whether the field is one for inches."""
    return unit == INCHES and allowed.unit == MM


def _bounds(allowed: Range, unit: Unit) -> str:
    if not in_inches(allowed, unit):
        return str(allowed)
    low, high = (number(rounded(bound / INCH_MM, 2)) for bound in (allowed.low, allowed.high))
    return f"{low} to {high} in"


def _stated(value: object, field: str, allowed: Range) -> Fraction:
    if value is None:
        raise BadInput("missing", field, f"{field} is missing: give a number{_in_unit(allowed)}")
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise BadInput("not-a-number", field, f"{field}={shown(value)} must be a number{_in_unit(allowed)}")
    if value != value or value in (float("inf"), float("-inf")):
        raise _not_finite(value, field, allowed)
    return _exactly(value) if isinstance(value, float) else Fraction(value)


def _typed(value: str, field: str, allowed: Range, unit: Unit) -> Fraction:
    text = BLANKS.sub(" ", value).strip().replace("\u2212", "-")
    if not text:
        raise BadInput("missing", field, f"{field} is missing: give a number{_in_unit(allowed, unit)}")
    if NOT_FINITE.match(text):
        raise _not_finite(value, field, allowed, unit)
    match = TYPED.fullmatch(text) if len(text) <= LONGEST_TEXT else None
    if match is None or not (match["whole"] or match["part"]):
        exact = _span(text, unit) if allowed.unit == MM and len(text) <= LONGEST_TEXT else None
        if exact is not None:
            return exact
        such = "59 1/4 or 59.25" if in_inches(allowed, unit) else "1506 or 1506,5"
        message = f"{field}={shown(value)} must be one number{_in_unit(allowed, unit)}, such as {such}"
        raise BadInput("not-a-number", field, message)
    digits = Fraction(Decimal(f"{match['sign']}{match['whole'].replace(' ', '') or '0'}.{match['part'] or '0'}"))
    own = (match["unit"] or "").lower()
    if allowed.unit == MM and (own in INCH_SPELLINGS or (not own and unit == INCHES)):
        return digits * INCH
    if own and own not in SPELLINGS.get(allowed.unit, ()):
        exact = _span(text, unit) if allowed.unit == MM else None
        if exact is not None:
            return exact
        accepted = f"be in {allowed.unit}" if allowed.unit else "be a number without a unit"
        raise BadInput("wrong-unit", field, f"{field}={shown(value)} must {accepted}")
    return digits


def _span(text: str, unit: Unit) -> Fraction | None:
    """Feet, inches and a fraction of an inch, in mm; None where that is not what the text says."""
    for sign, fraction in SIGNS_FOR.items():
        text = text.replace(sign, f" {fraction}")
    match = SPAN.fullmatch(BLANKS.sub(" ", text).strip())
    if match is None or not (match["feet"] or match["part"] or match["alone"]):
        return None
    if (match["unit"] or "").lower() not in (*INCH_SPELLINGS, *([""] if unit == INCHES or match["feet"] else [])):
        return None
    fraction = (match["part"] or match["alone"] or "").replace(" ", "")
    if fraction and fraction not in PARTS:
        return None
    size = int(match["feet"] or 0) * 12 + int(match["whole"] or 0) + Fraction(fraction or 0)
    return size * INCH * (-1 if match["sign"] == "-" else 1)


def _not_finite(value: object, field: str, allowed: Range, unit: Unit = MM) -> BadInput:
    return BadInput("not-finite", field, f"{field}={shown(value)} must be a finite number{_in_unit(allowed, unit)}")


def _in_unit(allowed: Range, unit: Unit = MM) -> str:
    if in_inches(allowed, unit):
        return " in inches"
    return f" in {allowed.unit}" if allowed.unit else ""
