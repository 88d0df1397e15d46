"""Reading one JSON object field by field: every refusal names the field by its whole path, such as points[2].x_mm."""

import re
from collections.abc import Mapping, Sequence
from datetime import date
from difflib import get_close_matches
from fractions import Fraction
from typing import Any

from .errors import BadInput, shown
from .measure.reading import Range, read, read_exact

ISO_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")


class Fields:
    """A JSON object whose keys are known beforehand, at a path inside the whole ('' for the whole itself)."""

    def __init__(self, given: object, path: str, needed: Sequence[str], optional: Sequence[str] = ()) -> None:
        if not isinstance(given, Mapping):
            field = path or "line"
            raise BadInput("not-an-object", field, f"{field}={shown(given)} must be a JSON object")
        self.given, self.path = given, path
        for key in given:
            if key not in (*needed, *optional):
                raise self._unknown(str(key), [*needed, *optional])
        for key in needed:
            if key not in given:
                raise BadInput("missing", self.at(key), f"{self.at(key)} is missing: give {', '.join(needed)}")

    def at(self, key: str) -> str:
        return f"{self.path}.{key}" if self.path else key

    def number(self, key: str, allowed: Range) -> float:
        return read(self.given[key], self.at(key), allowed)

    def numbers(self, key: str, most: int, allowed: Range) -> list[float]:
        """Return the numbers of a list of at least one."""
        field, value = self.at(key), self.given[key]
        if not isinstance(value, list) or not 0 < len(value) <= most:
            raise BadInput("not-a-list", field, f"{field}={shown(value)} must be a list of 1 to {most} numbers")
        return [read(one, f"{field}[{index}]", allowed) for index, one in enumerate(value)]

    def exact(self, key: str, allowed: Range) -> Fraction:
        return read_exact(self.given[key], self.at(key), allowed)

    def get(self, key: str) -> Any:
        """Return the raw value, None where an optional key is left out."""
        return self.given.get(key)

    def inner(self, key: str, needed: Sequence[str], optional: Sequence[str] = ()) -> "Fields":
        return Fields(self.given[key], self.at(key), needed, optional)

    def each(self, key: str, most: int, needed: Sequence[str], optional: Sequence[str] = ()) -> list["Fields"]:
        """Return the objects of a list; an optional list that is left out or null is empty."""
        field, value = self.at(key), self.given.get(key)
        if value is None:
            value = []
        if not isinstance(value, list) or len(value) > most:
            raise BadInput("not-a-list", field, f"{field}={shown(value)} must be a list of at most {most} objects")
        return [Fields(one, f"{field}[{index}]", needed, optional) for index, one in enumerate(value)]

    def text_or_none(self, key: str) -> str | None:
        value = self.given.get(key)
        if value is not None and not isinstance(value, str):
            raise BadInput("not-text", self.at(key), f"{self.at(key)}={shown(value)} must be text or null")
        return value

    def day_or_none(self, key: str) -> str | None:
        value = self.text_or_none(key)
        try:
            if value is None or (ISO_DAY.fullmatch(value) and date.fromisoformat(value)):
                return value
        except ValueError:
            pass  # the form of a day, but no day of the calendar
        raise BadInput("not-a-day", self.at(key), f"{self.at(key)}={shown(value)} must be a day such as 2026-03-31")

    def texts_or_none(self, key: str) -> list[str] | None:
        value = self.given.get(key)
        if value is None:
            return None
        if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
            raise BadInput("not-texts", self.at(key), f"{self.at(key)}={shown(value)} must be a list of texts")
        return value

    def _unknown(self, key: str, known: Sequence[str]) -> BadInput:
        near = get_close_matches(key, known, n=1, cutoff=0.5)
        hint = f"did you mean {near[0]}?" if near else f"known are {', '.join(known)}"
        return BadInput("unknown-field", self.at(key), f"{self.at(key)} is not known here: {hint}")
