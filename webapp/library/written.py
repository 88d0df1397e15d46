"""A vehicle's document as the file that the library keeps of it, and back."""

import re
from collections.abc import Iterator
from typing import Any

from webapp.core.quantity import FORM

from .read import DECIMAL, INTEGER, WORDS, Document, Node, parsed

PLAIN = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9 _./%()-]*[A-Za-z0-9)%])?")
"""Text that reads back as itself without quotes."""


def file_of(vehicle: str) -> str:
    """Where a vehicle stands in the library."""
    return f"vehicles/{vehicle}.yaml"


def as_yaml(document: dict[str, Any]) -> str:
    """The file's text: one key a line, so that a finding's line says which field it is about."""
    head = "# yaml-language-server: $schema=../schema/vehicle.json\n"
    return head + "\n".join(_lines(document, "")) + "\n"


def as_document(vehicle: str, document: dict[str, Any]) -> Document:
    """The document as the linter meets it, in the file where it would stand."""
    return parsed(file_of(vehicle), as_yaml(document).encode())


def places(root: Node) -> dict[int, tuple[str | int, ...]]:
    """Which field stands on which line; of several on one line the innermost."""
    found: dict[int, tuple[str | int, ...]] = {}

    def look(node: Node, path: tuple[str | int, ...]) -> None:
        if path:
            found[node.line] = path
        for part, child in node.children.items():
            look(child, (*path, part))

    look(root, ())
    return found


def _lines(value: Any, indent: str) -> Iterator[str]:
    if isinstance(value, dict):
        for key, one in value.items():
            yield from _entry(f"{indent}{_scalar(key)}:", one, f"{indent}  ")
        return
    for one in value:
        inner = list(_lines(one, f"{indent}  ")) if isinstance(one, dict) and one else [_scalar(one)]
        yield f"{indent}- {inner[0].lstrip()}"
        yield from inner[1:]


def _entry(head: str, value: Any, indent: str) -> Iterator[str]:
    if isinstance(value, dict | list) and value:
        yield head
        yield from _lines(value, indent)
    else:
        yield f"{head} {_scalar(value)}"


def _scalar(value: Any) -> str:
    if isinstance(value, dict | list):
        return "{}" if isinstance(value, dict) else "[]"
    if value is None or isinstance(value, bool):
        return {None: "null", True: "true", False: "false"}[value]
    text = str(value)
    bare = isinstance(value, int | float) or (not _read_otherwise(text) and (FORM.match(text) or PLAIN.fullmatch(text)))
    return text if bare else _quoted(text)


def _read_otherwise(text: str) -> bool:
    """Whether a reader would take the bare text for something else than text."""
    return text in WORDS or bool(INTEGER.fullmatch(text) or DECIMAL.fullmatch(text))


def _quoted(text: str) -> str:
    signs = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t", "\r": "\\r"}
    return '"' + "".join(signs.get(sign, sign) for sign in text) + '"'
