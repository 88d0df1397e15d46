"""Reads one YAML file into nodes that know their line.

Of YAML we take what a person writes by hand: mappings, lists, text, numbers, true and false. Anchors, aliases, tags and
several documents in one file are refused: they let ten lines unfold into gigabytes, or hide what a step says.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeAlias

import yaml
from yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    Event,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
)

from .finding import Finding

# libyaml's parser, 25 times faster than one in Python: four processes read the library before the shop is served.
PARSER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

MOST_BYTES = 200_000
"""A procedure of 60 steps with all its reasons is about 40 kB."""
DEEPEST = 20
"""The deepest field of the schema lies 8 levels down."""

Scalar: TypeAlias = str | int | float | bool | None
INTEGER = re.compile(r"[+-]?\d+")
DECIMAL = re.compile(r"[+-]?(\d+\.\d*|\.\d+)")
# What YAML 1.2 counts as printable, turned round; a tab has a finding of its own.
NOT_TEXT = re.compile("[^\t\n -~\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
WORDS: dict[str, Scalar] = {"": None, "~": None, "null": None, "true": True, "false": False}


@dataclass(frozen=True, slots=True)
class Node:
    """A value, its file, and the line on which its key stands (for an item of a list: on which it begins)."""

    value: "dict[str, Node] | list[Node] | Scalar"
    file: str
    line: int

    def says(self, message: str) -> Finding:
        return Finding(self.file, self.line, message)

    def at(self, *path: str | int) -> "Node":
        """Return what lies at `path`; where there is nothing, an empty node on the nearest line above."""
        node = self
        for part in path:
            node = node._child(part) or Node(None, node.file, node.line)
        return node

    def _child(self, part: str | int) -> "Node | None":
        if isinstance(part, str):
            return self.fields.get(part)
        return self.items[part] if 0 <= part < len(self.items) else None

    @property
    def children(self) -> "dict[str | int, Node]":
        return dict([*self.fields.items(), *enumerate(self.items)])

    @property
    def fields(self) -> "dict[str, Node]":
        return self.value if isinstance(self.value, dict) else {}

    @property
    def items(self) -> "list[Node]":
        return self.value if isinstance(self.value, list) else []

    @property
    def text(self) -> str:
        return self.value if isinstance(self.value, str) else ""

    def plain(self) -> Any:
        """Return the value as plain dicts, lists and scalars."""
        if isinstance(self.value, dict):
            return {key: node.plain() for key, node in self.value.items()}
        return [node.plain() for node in self.value] if isinstance(self.value, list) else self.value


def seen_from(here: Node, there: Node) -> str:
    """Say where another node stands: by its line, and by its file where that is another one."""
    return f"on line {there.line}" if here.file == there.file else f"at {there.file}:{there.line}"


@dataclass(frozen=True)
class Document:
    """A file of the library: its root (empty where it cannot be read), and the findings met on the way."""

    file: str
    root: Node
    findings: tuple[Finding, ...]

    @property
    def readable(self) -> bool:
        return isinstance(self.root.value, dict)


class _Refused(Exception):
    """This place ends the reading of the file."""

    def __init__(self, line: int, message: str) -> None:
        super().__init__(message)
        self.line, self.message = line, message


def read(folder: Path, file: str) -> Document:
    """Read `folder/file`. All duplicate keys and all tabs are found at once; anything else ends the reading."""
    try:
        with (folder / file).open("rb") as opened:
            raw = opened.read(MOST_BYTES + 1)
    except OSError as error:
        message = f"cannot be opened ({error.strerror}), expected a file that may be read"
        return _unreadable(file, Finding(file, 1, message))
    return parsed(file, raw)


def parsed(file: str, raw: bytes) -> Document:
    """The same of a file's bytes; `file` is where it stands, or would stand, in the library."""
    try:
        text = _text(raw)
        tabs = [number for number, line in enumerate(text.split("\n"), 1) if "\t" in line]
        if tabs:
            return _unreadable(file, *(Finding(file, line, "tab, expected spaces") for line in tabs))
        builder = _Builder(file, text)
        root = builder.document()
    except _Refused as refused:
        return _unreadable(file, Finding(file, refused.line, refused.message))
    return Document(file, root, tuple(builder.slips))


def _unreadable(file: str, *findings: Finding) -> Document:
    return Document(file, Node(None, file, 1), findings)


def _text(raw: bytes) -> str:
    if len(raw) > MOST_BYTES:
        raise _Refused(1, f"more than {MOST_BYTES} bytes, expected a smaller file: one procedure each")
    try:
        text = raw.decode("utf-8-sig").replace("\r\n", "\n").replace("\r", "\n")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise _Refused(line, f"byte 0x{raw[error.start]:02x} is not UTF-8, expected a file saved as UTF-8") from error
    if found := NOT_TEXT.search(text):
        line = text.count("\n", 0, found.start()) + 1
        raise _Refused(line, f"character U+{ord(found[0]):04X}, expected text without control characters")
    return text


class _Builder:
    """Builds nodes from YAML's events, so that every refusal happens before anything is unfolded."""

    def __init__(self, file: str, text: str) -> None:
        self.file, self.text = file, text
        self.slips: list[Finding] = []
        self.events = self._events()

    def document(self) -> Node:
        start = next((event for event in self.events if isinstance(event, DocumentStartEvent)), None)
        if start is None:
            raise _Refused(1, "empty file, expected keys and values")
        root = Node(self._value(next(self.events), 0), self.file, 1)
        if not isinstance(root.value, dict):
            what = "a list" if isinstance(root.value, list) else "a bare value"
            raise _Refused(1, f"{what} at the top, expected keys and values")
        more = next((event for event in self.events if isinstance(event, DocumentStartEvent)), None)
        if more is not None:
            raise _Refused(_line(more), "a second document begins here, expected one a file")
        return root

    def _events(self) -> Iterator[Event]:
        try:
            yield from yaml.parse(f"{self.text}\n", PARSER)
        except yaml.MarkedYAMLError as error:
            # What is never closed is told where it begins, not at the end of the file.
            at_the_end = error.problem_mark and error.problem_mark.line > self.text.rstrip("\n").count("\n")
            mark = (at_the_end and error.context_mark) or error.problem_mark
            message = f"not readable as YAML ({error.problem}), expected key: value, one indent a level"
            raise _Refused(mark.line + 1 if mark else 1, message) from error

    def _value(self, event: Event, depth: int) -> "dict[str, Node] | list[Node] | Scalar":
        if depth > DEEPEST:
            raise _Refused(_line(event), f"nested more than {DEEPEST} levels deep, expected fewer")
        anchor, tag = getattr(event, "anchor", None), getattr(event, "tag", None)
        if anchor or isinstance(event, AliasEvent):
            raise _Refused(_line(event), f"anchor or alias '{anchor}', expected the text itself")
        if tag:
            raise _Refused(_line(event), f"tag '{tag}', expected a plain value")
        if isinstance(event, MappingStartEvent):
            return self._mapping(depth)
        if isinstance(event, SequenceStartEvent):
            return self._sequence(depth)
        value: str = getattr(event, "value", "")
        return _scalar(value) if getattr(event, "implicit", (False,))[0] else value

    def _mapping(self, depth: int) -> dict[str, Node]:
        fields: dict[str, Node] = {}
        while not isinstance(event := next(self.events), MappingEndEvent):
            line = _line(event)
            if not isinstance(event, ScalarEvent) or not event.value:
                raise _Refused(line, "a key that is no word, expected key: value")
            self._value(event, depth + 1)
            value = Node(self._value(next(self.events), depth + 1), self.file, line)
            if event.value in fields:
                first = fields[event.value].line
                self.slips.append(value.says(f"'{event.value}' a second time, expected once (first on line {first})"))
            else:
                fields[event.value] = value
        return fields

    def _sequence(self, depth: int) -> list[Node]:
        items: list[Node] = []
        while not isinstance(event := next(self.events), SequenceEndEvent):
            items.append(Node(self._value(event, depth + 1), self.file, _line(event)))
        return items


def _scalar(text: str) -> Scalar:
    """Resolve a plain scalar; dates, octal numbers and `yes` stay text, as the eye reads them."""
    if text in WORDS:
        return WORDS[text]
    if INTEGER.fullmatch(text):
        return int(text) if len(text) <= 18 else text
    return float(text) if DECIMAL.fullmatch(text) else text


def _line(event: Event) -> int:
    return event.start_mark.line + 1 if event.start_mark else 1
