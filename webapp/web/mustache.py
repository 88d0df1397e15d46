"""The job pages' templates: Mustache, rendered here as the phone's worker renders them."""

from functools import lru_cache
from typing import Any

import chevron

from webapp.messages import LANGUAGE, plain_words
from webapp.paths import STATIC


@lru_cache
def partials() -> dict[str, str]:
    """Every template by name, read once."""
    return {path.stem: path.read_text(encoding="utf-8") for path in sorted((STATIC / "pages").glob("*.mustache"))}


def render(name: str, data: dict[str, Any]) -> str:
    """The page or fragment of that name. `t` and `lang` are added to the data."""
    known = partials()
    html: str = chevron.render(known[name], {"t": plain_words(), "lang": LANGUAGE, **data}, partials_dict=known)
    return html
