"""What differs between two revisions of a vehicle's figures, field by field."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from webapp.messages import pointed
from webapp.web.specs.forms import NUMBERS, Document


@dataclass(frozen=True)
class Difference:
    """A field, by the way to it; empty text where it was not there."""

    place: str
    before: str
    after: str


def differences(before: Document, after: Document) -> list[Difference]:
    """Return the fields that differ, in the order of the later revision."""
    old, new = dict(_flat(before, "")), dict(_flat(after, ""))
    places = [*new, *(one for one in old if one not in new)]
    return [
        Difference(place, old.get(place, ""), new.get(place, ""))
        for place in places
        if old.get(place) != new.get(place)
    ]


def in_short(figure: Document) -> str:
    """A figure in one line: 1500 ± 5 mm, or 300 … 1500 lx."""
    said = {key: pointed(str(figure[key])) for key in NUMBERS if figure.get(key)}
    if "nominal" in said and "tolerance" in said:
        return _both(said["nominal"], "±", said["tolerance"])
    if "low" in said and "high" in said:
        return _both(said["low"], "…", said["high"])
    signs = {"low": "≥ ", "high": "≤ "}
    return ", ".join(f"{signs.get(key, '')}{text}" for key, text in said.items())


def _both(one: str, sign: str, other: str) -> str:
    """Two quantities, their unit once where it is the same."""
    number, _, unit = one.partition(" ")
    return f"{number if other.endswith(f' {unit}') else one} {sign} {other}"


def _flat(value: Any, place: str) -> Iterator[tuple[str, str]]:
    if isinstance(value, dict) and value and set(value) & set(NUMBERS):
        yield place, in_short(value)
        rest = {key: one for key, one in value.items() if key not in NUMBERS}
        yield from _flat(rest, place) if rest else ()
    elif isinstance(value, dict):
        for key, one in value.items():
            yield from _flat(one, f"{place}.{key}" if place else key)
    elif isinstance(value, list):
        for number, one in enumerate(value):
            yield from _flat(one, f"{place}.{_called(one, number)}")
    elif value not in ("", None):
        yield place, str(value)


def _called(one: Any, number: int) -> str:
    """An item of a list by what tells it from the others."""
    if isinstance(one, dict):
        return str(one.get("spot") or one.get("name") or one.get("value") or number + 1)
    return str(number + 1)
