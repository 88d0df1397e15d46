"""How numbers and times look on a page: the digits that the uncertainty allows, thin spaces, minutes and seconds."""

from ..numbers import rounded

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


def unit_sign(unit: str) -> str:
    """The unit as it is printed behind a figure: 'deg' -> '°'."""
    return SIGNS.get(unit, unit)
