"""What a technician types, or a file states, made into a number: the one place that knows decimals, blanks and units.

A reading is refused when it is not finite, carries another unit than its field, or lies outside the method's stated
physical range. Nothing is guessed: ``1,506`` is 1.506 (a decimal comma), and the range then says that no tape is
that short.
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from ..errors import BadInput, shown
from ..numbers import number


@lru_cache(maxsize=512)
def _exactly(bound: float) -> Fraction:
    """A bound as its decimal digits say it. Few bounds, asked for with every reading: hence remembered."""
    return Fraction(str(bound))


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

LONGEST_TEXT = 40
BLANKS = re.compile("[\u0009\u0020\u00a0\u2007\u2009\u202f]+")
NOT_FINITE = re.compile(r"[+-]?(?:(?:inf|infinity|nan)\b|∞)", re.IGNORECASE | re.ASCII)
TYPED = re.compile(
    r"(?P<sign>[+-]?) ?"
    r"(?P<whole>[0-9]{1,3}(?: [0-9]{3})+|[0-9]*)"
    r"(?:[.,](?P<part>[0-9]*))?"
    r" ?(?P<unit>[^0-9., +-][^0-9]*)?"
)


def read(value: object, field: str, allowed: Range) -> float:
    """Return the reading as a float in the allowed range's unit.

    value: a number, or text with decimal comma or point, blanks between groups of three, and the field's own unit.
    Raises BadInput (missing, not-a-number, not-finite, wrong-unit, out-of-range), naming field and value.
    """
    return float(read_exact(value, field, allowed))


def read_exact(value: object, field: str, allowed: Range) -> Fraction:
    """Return the reading exactly as its decimal digits say it: 0.38 is 38/100 here, not the nearest binary number.

    A float stands for the shortest decimal that names it, which is the literal that was read from the file.
    """
    exact = _typed(value, field, allowed) if isinstance(value, str) else _stated(value, field, allowed)
    if not allowed.holds(exact):
        raise BadInput("out-of-range", field, f"{field}={shown(value)} must lie within {allowed}")
    return exact


def _stated(value: object, field: str, allowed: Range) -> Fraction:
    if value is None:
        raise _missing(field, allowed)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise BadInput("not-a-number", field, f"{field}={shown(value)} must be a number{_in_unit(allowed)}")
    if value != value or value in (float("inf"), float("-inf")):
        raise _not_finite(value, field, allowed)
    return Fraction(repr(value)) if isinstance(value, float) else Fraction(value)


def _typed(value: str, field: str, allowed: Range) -> Fraction:
    text = BLANKS.sub(" ", value).strip().replace("\u2212", "-")
    if not text:
        raise _missing(field, allowed)
    if NOT_FINITE.match(text):
        raise _not_finite(value, field, allowed)
    match = TYPED.fullmatch(text) if len(text) <= LONGEST_TEXT else None
    if match is None or not (match["whole"] or match["part"]):
        message = f"{field}={shown(value)} must be one number{_in_unit(allowed)}, such as 1506 or 1506,5"
        raise BadInput("not-a-number", field, message)
    if match["unit"] and match["unit"].lower() not in SPELLINGS.get(allowed.unit, ()):
        accepted = f"be in {allowed.unit}" if allowed.unit else "be a number without a unit"
        raise BadInput("wrong-unit", field, f"{field}={shown(value)} must {accepted}")
    digits = f"{match['sign']}{match['whole'].replace(' ', '') or '0'}.{match['part'] or '0'}"
    return Fraction(digits)


def _missing(field: str, allowed: Range) -> BadInput:
    return BadInput("missing", field, f"{field} is missing: give a number{_in_unit(allowed)}")


def _not_finite(value: object, field: str, allowed: Range) -> BadInput:
    return BadInput("not-finite", field, f"{field}={shown(value)} must be a finite number{_in_unit(allowed)}")


def _in_unit(allowed: Range) -> str:
    return f" in {allowed.unit}" if allowed.unit else ""
