"""The job pages' templates: Mustache, rendered here as the phone's worker renders them, byte for byte."""

import re
from collections.abc import Callable
from functools import lru_cache
from typing import Any, NamedTuple

from mystace.mustache_tree import MustacheTreeNode, TagType, create_mustache_tree
from mystace.util import html_escape

from webapp.messages import plain_words, tongue
from webapp.paths import STATIC
from webapp.web.language import choices

PART = re.compile(r"{{> ([a-z-]+)}}")
WORD = re.compile(r"{{t\.([a-z0-9-]+)}}")
LINE_END = re.compile(r"\s*\n\s*")
# An enum's members are looked up anew at each mention, and these are mentioned for every piece of a page.
_TEXT, _WORD, _SECTION, _WITHOUT = TagType.LITERAL, TagType.VARIABLE, TagType.SECTION, TagType.INVERTED_SECTION


@lru_cache
def templates() -> dict[str, str]:
    """Every template by name, in one line: renderers differ in what they make of a line that holds nothing but tags."""
    found = sorted((STATIC / "pages").glob("*.mustache"))
    return {path.stem: LINE_END.sub("", path.read_text(encoding="utf-8")) for path in found}


def _whole(name: str, language: str) -> str:
    """A template with its parts put in, since no part holds itself: a part fewer to look up, a text fewer to join."""
    return PART.sub(lambda found: _whole(found[1], language), _worded(language)[name])


@lru_cache
def _worded(language: str) -> dict[str, str]:
    """The templates with their plain words filled in, which are the same on every page: a third less to look up."""
    words = plain_words(language)
    return {name: WORD.sub(lambda found: html_escape(words[found[1]]), text) for name, text in templates().items()}


def render(name: str, data: dict[str, Any]) -> str:
    """The page or fragment of that name, in the language spoken. `lang` and `languages` are added to the data.

    Of a text, the four signs & < > " are escaped.
    """
    text: list[str] = []
    code = tongue().code
    _write(_parts(name, code), {"lang": code, "languages": choices(code), **data}, text.append)
    return "".join(text)


class Part(NamedTuple):
    """A piece of a parsed template: plain text, or what stands in the data under that name, and `path` within that."""

    sort: TagType
    text: str
    path: list[str]
    inner: "list[Part]"


@lru_cache
def _parts(name: str, language: str) -> list[Part]:
    return _parsed(create_mustache_tree(_whole(name, language)))


def _parsed(node: MustacheTreeNode) -> list[Part]:
    return [_part(child) for child in node.children or []]


def _part(node: MustacheTreeNode) -> Part:
    if node.tag_type is _TEXT or node.data == ".":
        return Part(node.tag_type, node.data, [], _parsed(node))
    name, *path = node.data.split(".")
    return Part(node.tag_type, name, path, _parsed(node))


def _write(parts: list[Part], seen: dict[str, Any], put: Callable[[str], None]) -> None:
    """As mystace's own `render` does, whose search through the levels of the data took a tenth of every tap.

    `seen` holds all that can be seen from here, the inner before the outer.
    """
    for sort, text, path, inner in parts:
        if sort is _TEXT:
            put(text)
            continue
        value = _within(seen.get(text), path) if path else seen.get(text)
        if sort is _SECTION:
            for one in value if isinstance(value, list) else (value,) if value else ():
                _write(inner, seen | (one if isinstance(one, dict) else {".": one}), put)
        elif sort is _WITHOUT:
            if not value:
                _write(inner, seen, put)
        elif value is not None:
            put(html_escape(_as_javascript_prints(value)) if sort is _WORD else _as_javascript_prints(value))


def _within(value: Any, path: list[str]) -> Any:
    for key in path:
        value = value.get(key) if isinstance(value, dict) else None
    return value


def _as_javascript_prints(value: Any) -> str:
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return str(value)
