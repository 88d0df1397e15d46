"""A figure of the library in one line, as its reader counts: 1350 ± 5 mm, or 53.15 ± 0.197 in (1350 ± 5 mm)."""

from collections.abc import Mapping
from typing import Any

from pydantic_core import PydanticCustomError

from ..lengths import INCHES, MM, Unit, inches_read
from ..quantity import Quantity

NUMBERS = ("value", "nominal", "tolerance", "low", "high")


def in_unit(text: str, unit: Unit = MM) -> str:
    """A text as it stands; a length among figures in the reader's unit, with what the file says behind it."""
    length_mm = _length_mm(text) if unit == INCHES else None
    return text if length_mm is None else f"{inches_read(length_mm)} in ({text})"


def in_short(figure: Mapping[str, Any], unit: Unit = MM) -> str:
    """A figure's numbers in one line: 1500 ± 5 mm, 300 … 1500 lx, ≥ 2 mm; in inches as well where a shop has them."""
    said = {key: str(figure[key]) for key in NUMBERS if figure.get(key) is not None}
    plain = _line(said)
    lengths = {key: _length_mm(text) for key, text in said.items()}
    if unit != INCHES or None in lengths.values():
        return plain
    return f"{_line({key: f'{inches_read(one)} in' for key, one in lengths.items() if one is not None})} ({plain})"


def _line(said: Mapping[str, str]) -> str:
    if "nominal" in said and "tolerance" in said:
        return _both(said["nominal"], "±", said["tolerance"])
    if "low" in said and "high" in said:
        return _both(said["low"], "…", said["high"])
    signs = {"low": "≥ ", "high": "≤ ", "tolerance": "± "}
    return ", ".join(f"{signs.get(key, '')}{text}" for key, text in said.items())


def _both(one: str, sign: str, other: str) -> str:
    """Two quantities, their unit once where it is the same."""
    number, _, unit = one.rpartition(" ")
    return f"{number if number and other.endswith(f' {unit}') else one} {sign} {other}"


def _length_mm(text: str) -> float | None:
    try:
        found = Quantity.parse(text)
    except PydanticCustomError:
        return None
    return found.value if found.unit == MM else None
