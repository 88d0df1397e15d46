"""The job pages' templates: Mustache, rendered here as the phone's worker renders them, byte for byte."""

import re
from functools import lru_cache
from typing import Any

from mystace import MustacheRenderer
from mystace.util import html_escape

from webapp.messages import LANGUAGE, plain_words
from webapp.paths import STATIC

PART = re.compile(r"{{> ([a-z-]+)}}")
WORD = re.compile(r"{{t\.([a-z0-9-]+)}}")
LINE_END = re.compile(r"\s*\n\s*")


@lru_cache
def templates() -> dict[str, str]:
    """Every template by name, in one line: renderers differ in what they make of a line that holds nothing but tags."""
    found = sorted((STATIC / "pages").glob("*.mustache"))
    return {path.stem: LINE_END.sub("", path.read_text(encoding="utf-8")) for path in found}


@lru_cache
def _renderer(name: str) -> MustacheRenderer:
    return MustacheRenderer.from_template(_whole(name))


def _whole(name: str) -> str:
    """A template with its parts put in, since no part holds itself: a part fewer to look up, a text fewer to join."""
    return PART.sub(lambda found: _whole(found[1]), _worded()[name])


@lru_cache
def _worded() -> dict[str, str]:
    """The templates with their plain words filled in, which are the same on every page: a third less to look up."""
    words = plain_words()
    return {name: WORD.sub(lambda found: html_escape(words[found[1]]), text) for name, text in templates().items()}


def render(name: str, data: dict[str, Any]) -> str:
    """The page or fragment of that name. `t` and `lang` are added to the data.

    Of a text, the four signs & < > " are escaped.
    """
    return _renderer(name).render({"t": plain_words(), "lang": LANGUAGE, **data}, _as_javascript_prints)


def _as_javascript_prints(value: Any) -> str:
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return str(value)
