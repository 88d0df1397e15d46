"""How wide a text is and how a figure is written, so that a drawing can be laid out where there is no screen.

Widths are those of the app's typeface at the drawings' weight, rounded up; where another face steps in the rounding
and `MARGIN` leave room for it.
"""

import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import lru_cache
from math import floor

from ..lengths import INCHES, MM, Unit, inches

_EM: dict[float, str] = {
    0.16: "\N{THIN SPACE}",
    0.24: "'",
    0.28: ",.:;j|’",
    0.32: " \u00a0!`il·",
    0.36: "()[]f",
    0.40: '"-_rt{}°',
    0.44: "/I\\",
    0.52: "*csvyz–",
    0.56: "?JLaekx~×",
    0.60: "+<>EFT^bdghnopqu−",
    0.64: "$=BPSVYZ0123456789",
    0.68: "ACKRX",
    0.72: "DGHNU",
    0.76: "#&OQw",
    0.80: "@",
    0.88: "Mm",
    0.92: "W",
    1.00: "%",
}
_WIDTH = {character: em for em, characters in _EM.items() for character in characters}
_UNKNOWN_EM = 0.92
MARGIN = 1.03


@lru_cache(maxsize=2048)
def width_px(text: str, size_px: float) -> float:
    """Return the width of one line of text."""
    return sum(_em(character) for character in text) * size_px * MARGIN


def _em(character: str) -> float:
    if character in _WIDTH:
        return _WIDTH[character]
    if unicodedata.category(character) in ("Mn", "Me", "Cf"):  # accents and the marks that isolate a name's direction
        return 0.0
    if unicodedata.east_asian_width(character) in "WF":
        return 1.0
    plain = unicodedata.normalize("NFD", character)[0]
    return _WIDTH.get(plain, _UNKNOWN_EM)


@lru_cache(maxsize=2048)
def wrap(text: str, size_px: float, most_px: float) -> tuple[str, ...]:
    """Return the text in lines no wider than `most_px`, broken at blanks; a single longer word keeps its line."""
    lines: list[str] = []
    for paragraph in text.split("\n"):
        line = ""
        for word in paragraph.split(" "):
            longer = f"{line} {word}" if line else word
            if line and width_px(longer, size_px) > most_px:
                lines.append(line)
                line = word
            else:
                line = longer
        lines.append(line)
    return tuple(lines)


def figure(value: float, decimals: int = 1) -> str:
    """Write a number as on a workshop drawing: 1500.0 as `1 500` with a thin space, 0.25 as `0.3`, never `−0`."""
    size = floor(abs(value) * 10**decimals + 0.5) / 10**decimals
    text = f"{size:,.{decimals}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return ("−" if value < 0 and size else "") + text.replace(",", "\N{THIN SPACE}")


_unit: ContextVar[Unit] = ContextVar("unit", default=MM)


@contextmanager
def lengths_in(unit: Unit) -> Iterator[None]:
    """What is drawn within has its lengths in this unit: many marks have one, and each drawing only one unit."""
    before = _unit.set(unit)
    try:
        yield
    finally:
        _unit.reset(before)


def unit() -> Unit:
    return _unit.get()


def length(value_mm: float) -> str:
    """A length's figure in the drawing's unit, which the drawing names once for all of them."""
    return inches(value_mm) if _unit.get() == INCHES else figure(value_mm)


def with_unit(value_mm: float, unit: Unit) -> str:
    """A length with its unit, where it stands in a sentence."""
    return f"{inches(value_mm) if unit == INCHES else figure(value_mm)} {unit}"
