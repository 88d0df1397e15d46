"""How numbers and times look on a page: the digits that the uncertainty allows, thin spaces, minutes and seconds."""

from collections.abc import Mapping
from typing import Any

from ..lengths import INCH_MM, INCHES, MM, Unit, inches, inches_read
from ..numbers import rounded
from ..sheet import Say

THIN = "\u202f"
MINUS = "\u2212"
SIGNS = {"deg": "°", "degC": "°C"}
"""Units that are printed with a sign; the others as they are written."""


def digits_for(uncertainty: float) -> int:
    """Decimals to show so that the uncertainty has two significant figures: 1.14 -> 1, 0.122 -> 2, 34 -> 0; three
    at most.
    """
    if uncertainty <= 0:
        return 1
    return next((digits for digits, least in enumerate((10, 1, 0.1)) if uncertainty >= least), 3)


def figure(value: float, decimals: int) -> str:
    """1506.0 -> '1 506', with a real minus sign; a rounded nought has no sign."""
    size = rounded(abs(value), decimals)
    return (MINUS if value < 0 and size else "") + f"{size:,.{decimals}f}".replace(",", THIN)


def trimmed(value: float) -> str:
    """A limit as its file gave it: no trailing noughts."""
    _, _, part = f"{rounded(abs(value), 6):.6f}".partition(".")
    return figure(value, len(part.rstrip("0")))


def clock(seconds: float) -> str:
    """102 -> '1:42', 3723 -> '1:02:03'."""
    whole = max(0, int(seconds))
    hours, rest = divmod(whole, 3600)
    minutes, left = divmod(rest, 60)
    return f"{hours}:{minutes:02d}:{left:02d}" if hours else f"{minutes}:{left:02d}"


def unit_sign(unit: str, shop: Unit = MM) -> str:
    """The unit as it is printed behind a figure: 'deg' -> '°', and that of a length as the shop has it."""
    return shop if unit == MM else SIGNS.get(unit, unit)


def length(value_mm: float, shop: Unit) -> str:
    """A length with its unit, as it is to be set or to be found: `1 500 mm`, `59 1/16 in`."""
    return f"{length_figure(value_mm, shop)} {shop}"


def length_figure(value_mm: float, shop: Unit) -> str:
    return inches(value_mm) if shop == INCHES else trimmed(value_mm)


def finely(value_mm: float, shop: Unit) -> str:
    """A length that is finer than any rule, with its unit: `2.3 mm`, `0.091 in`."""
    return f"{figure(value_mm / INCH_MM, 3) if shop == INCHES else figure(value_mm, 1)} {shop}"


def as_read(value: float, unit: str, shop: Unit) -> str:
    """A reading as it was typed."""
    return inches_read(value) if unit == MM and shop == INCHES else trimmed(value)


def measured(part: Mapping[str, Any], say: Say, shop: Unit) -> dict[str, str]:
    """Value and U (k = 2) of a part, with the digits that U allows, and their unit."""
    scale = _scale(part["unit"], shop)
    decimals = digits_for(part["U"] / scale)
    value, expanded = (say("as-it-is", text=figure(part[name] / scale, decimals)) for name in ("value", "U"))
    return {"value": value, "U": expanded, "unit": unit_sign(part["unit"], shop)}


def spread(part: Mapping[str, Any], shop: Unit) -> str:
    """The scatter of a part's repeats."""
    s = part["s"] / _scale(part["unit"], shop)
    return figure(s, digits_for(2 * s))


def _scale(unit: str, shop: Unit) -> float:
    return INCH_MM if unit == MM and shop == INCHES else 1.0
