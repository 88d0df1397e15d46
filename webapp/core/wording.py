"""How English texts read in another language: those of the library, which stand in every sheet, and refusals.

A text is found by the English text itself. So a sheet that was frozen long ago is translated as a new one is, its hash
is the same whoever reads it, and where a translation is missing the English stands. A refusal has values in it, and is
found by its form: `badge={badge} is not known here`.
"""

import re
from collections.abc import Iterable, Mapping
from typing import Any, TypeVar

from pydantic import BaseModel

from .redrawn import redrawn
from .sheet import Sheet

TEXTS = frozenset(
    [
        "title",
        "ask",
        "label",
        "name",
        "do",
        "short",
        "why",
        "mistakes",
        "hazard",
        "button",
        "photo",
        "blocks",
        "cause",
        "check",
        "back_to",
        "target_name",
        "spot_name",
    ]
)
"""The fields of library and sheet that people read. An identity may be called `name` too; it has no translation."""

FIGURE = re.compile("[\u2212-]?[0-9]+(?:[\u202f\u2009][0-9]{3})*[.][0-9]+(?: mm| in)?")
HOLE = re.compile(r"\{(\w+)\}")

T = TypeVar("T")


class Wording:
    """What English texts read like. `texts` are whole ones, `forms` have holes, and `point` is the decimal sign."""

    def __init__(
        self, texts: Mapping[str, str] | None = None, forms: Iterable[tuple[str, str]] = (), point: str = "."
    ) -> None:
        self.texts, self.point = texts or {}, point
        self.forms = [(_pattern(form), HOLE.findall(form), other) for form, other in forms]
        self.plain = not self.texts and not self.forms and point == "."

    def of(self, text: str) -> str:
        """A whole text, or a figure with its decimal sign; itself where there is no other word for it."""
        if self.point != "." and FIGURE.fullmatch(text):
            return text.replace(".", self.point)
        return self.texts.get(text, text)

    def sentence(self, text: str) -> str:
        """A refusal, or a whole text; itself where no form fits. What fills a hole may be such a sentence too."""
        if text in self.texts:
            return self.texts[text]
        for pattern, holes, other in self.forms:
            if found := pattern.fullmatch(text):
                values = dict(zip(holes, found.groups(), strict=True))
                return HOLE.sub(lambda hole, values=values: self.sentence(values[hole[1]]), other)  # type: ignore[misc]
        return self.of(text)

    def within(self, value: T) -> T:
        """The same part of a library or a sheet, with every text that people read in this language."""
        return value if self.plain else self._worded(value, False)

    def on(self, sheet: Sheet, drawn: Mapping[str, str]) -> Sheet:
        """The sheet as it is read in this language. `drawn` has parts of drawings: English -> as drawn for it."""
        made = self.within(sheet)
        for step in made["steps"]:
            if step["drawing"]:
                step["drawing"] = redrawn(step["drawing"], drawn)
        return made

    def _worded(self, value: Any, read: bool) -> Any:
        if isinstance(value, str):
            return self.texts.get(value, value) if read else value
        if isinstance(value, list | tuple):
            return type(value)(self._worded(one, read) for one in value)
        if isinstance(value, dict):
            return {name: self._worded(one, name in TEXTS) for name, one in value.items()}
        if isinstance(value, BaseModel):
            fields = {name: self._worded(getattr(value, name), name in TEXTS) for name in type(value).model_fields}
            return value.model_copy(update=fields)
        return value


def _pattern(form: str) -> re.Pattern[str]:
    """What such a refusal looks like: text as it stands, and anything in its holes."""
    parts = HOLE.split(form)
    return re.compile(
        "".join("(.*)" if number % 2 else re.escape(part) for number, part in enumerate(parts)), re.DOTALL
    )
