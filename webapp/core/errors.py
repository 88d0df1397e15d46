"""The one error tree of Baybook, and the one JSON shape in which an error leaves the house.

    BaybookError            anything Baybook refuses, with a code, a field and a message
    ├── BadInput            the value itself cannot be used; say it again, differently
    ├── NotFound            there is nothing by that name
    ├── NotAllowed          this person, or this step, may not do that
    ├── Stale               true once: the step or the attempt is no longer the current one
    ├── Conflict            the same thing is already there, with other content
    └── Unavailable         the disk is full or the database is busy: nothing was kept, say it again later

Every error answers three questions: which rule (``code``, kebab-case, stable: tests, translations and the phone
rely on it), where (``field``, the name the sender used, empty when no single field is to blame), and what now
(``message``, which names field and value and says what is accepted: ``yaw_deg=91 must lie within -10 to 10``).
"""

from typing import Any

from .numbers import number

SHOWN_CHARACTERS = 60
"""A message quotes at most this much of a refused value: 3 kB of pasted text would bury what to do next."""


class BaybookError(Exception):
    """Something Baybook refuses. The page, the command line and the sync answer all show the same three parts."""

    def __init__(self, code: str, field: str, message: str) -> None:
        super().__init__(message)
        self.code = code
        self.field = field
        self.message = message

    def as_dict(self) -> dict[str, dict[str, str]]:
        """Return ``{"error": {"code", "field", "message"}}``, the shape used everywhere."""
        return {"error": {"code": self.code, "field": self.field, "message": self.message}}

    def inside(self, outer: str) -> "BaybookError":
        """Return the same error with its field and message seen from one level up: ``x_mm`` -> ``points[2].x_mm``."""
        if not self.field:
            return type(self)(self.code, outer, f"{outer}: {self.message}")
        field = f"{outer}.{self.field}"
        message = field + self.message.removeprefix(self.field) if self.message.startswith(self.field) else self.message
        return type(self)(self.code, field, message)


class BadInput(BaybookError):
    """The value cannot be used as it stands."""


class NotFound(BaybookError):
    """There is nothing by that name."""


class NotAllowed(BaybookError):
    """This person, or this step, may not do that."""


class Stale(BaybookError):
    """The step or the attempt is no longer the current one: a double tap, an old page, another phone."""


class Conflict(BaybookError):
    """The same thing is already there, with other content."""


class Unavailable(BaybookError):
    """The disk is full or the database is busy or away. Nothing was kept; the same request may pass later."""


def shown(value: Any) -> str:
    """Quote a refused value for a message: text in quotes, the rest as JSON would have it, long ones cut.

    Half a character is shown as a question mark: what is said of it has to be kept and sent.
    """
    text = value.encode(errors="replace").decode() if isinstance(value, str) else _in_json(value)
    quoted = f"'{text}'" if isinstance(value, str) else text
    return quoted if len(quoted) <= SHOWN_CHARACTERS else f"{quoted[:SHOWN_CHARACTERS]}… ({len(text)} characters)"


def _in_json(value: Any) -> str:
    if isinstance(value, int | float) and not isinstance(value, bool):
        return number(value)
    return _JSON_WORDS.get(str(value), str(value))


_JSON_WORDS = {"None": "null", "True": "true", "False": "false"}
