"""The job pages' templates: Mustache, rendered here as the phone's worker renders them."""

from functools import lru_cache
from typing import Any

import chevron
from chevron.tokenizer import tokenize

from webapp.messages import LANGUAGE, plain_words
from webapp.paths import STATIC

Tokens = tuple[tuple[str, str], ...]


@lru_cache
def partials() -> dict[str, Tokens]:
    """Every template by name, read once and taken apart once: chevron would do that anew for every page."""
    found = sorted((STATIC / "pages").glob("*.mustache"))
    return {path.stem: tuple(tokenize(path.read_text(encoding="utf-8"))) for path in found}


def render(name: str, data: dict[str, Any]) -> str:
    """The page or fragment of that name. `t` and `lang` are added to the data."""
    known: Any = partials()  # chevron's type hints know only texts; its code takes tokens wherever it takes a text
    html: str = chevron.render(known[name], {"t": plain_words(), "lang": LANGUAGE, **data}, partials_dict=known)
    return html
