"""What the linter finds in a vehicle that a shop writes down itself, field by field: the checks of the library's files.

A vehicle is a document here, as its file would hold it: {"vehicle": name, "maker": …, "specs": {…}}.
"""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from webapp.core.procedure import Vehicle

from .checks import AMONG_VEHICLES, OF_ONE_VEHICLE
from .finding import Finding, plainest
from .read import Document, Node
from .shape import shape
from .sources import Sources, model, sources
from .written import as_document, file_of, places

Fields = tuple[str | int, ...]
TAKER = re.compile(r" \(\S+:\d+ takes (?:it|them)\)$")


@dataclass(frozen=True)
class Fault:
    """What is wrong, and where: the keys and numbers that lead to the field, none where it is about the whole.

    `given` says that a value stands there which cannot be; otherwise something is lacking.
    """

    path: Fields
    message: str
    given: bool

    @property
    def place(self) -> str:
        """The field as a person points at it: `figures.yaw.tolerance`."""
        return ".".join(str(one) for one in self.path)


@cache
def shipped(folder: Path) -> Sources:
    """The files of the library as they stood when first asked for."""
    return sources(folder)


def faults(library: Sources, document: dict[str, Any], others: Iterable[dict[str, Any]] = ()) -> list[Fault]:
    """Everything that the linter says of the document, in its fields' order.

    It stands in the library in place of one of its name; `others` are the shop's other vehicles, which stand there too.
    """
    return faults_of(library, as_document(document["vehicle"], document), others)


def faults_of(library: Sources, mine: Document, others: Iterable[dict[str, Any]] = ()) -> list[Fault]:
    """The same of a file that was brought along."""
    found = [*mine.findings, *shape(mine, Vehicle)[1]]
    found += [one for one in _checked(library, mine, others) if one.file == mine.file or _of_all(one)]
    where = places(mine.root)
    made = [_fault(mine, where, one) for one in sorted(plainest(found), key=lambda one: (one.file != mine.file, one))]
    return [*_plainest(made)]


def _checked(library: Sources, mine: Document, others: Iterable[dict[str, Any]]) -> Iterator[Finding]:
    beside = [as_document(one["vehicle"], one) for one in others]
    own = {mine.file, *(one.file for one in beside)}
    rest = [one for one in library.documents if one.file not in own]
    alone = Sources((*(one for one in rest if model(one.file) is not Vehicle), mine))
    for check in OF_ONE_VEHICLE:
        yield from check(alone)
    among = Sources((*rest, *(one for one in beside if one.file != mine.file), mine))
    for check in AMONG_VEHICLES:
        yield from check(among)


def _of_all(one: Finding) -> bool:
    """Whether a finding at another file is this vehicle's doing: a question that has a procedure's answer's name."""
    return "is a qualifier of a vehicle" in one.message


def _fault(mine: Document, where: dict[int, Fields], one: Finding) -> Fault:
    if one.file != mine.file:
        return Fault(("qualifiers",), one.message, given=True)
    path, message = where.get(one.line, ()), TAKER.sub("", one.message)
    for depth in range(len(path), 0, -1):
        message = message.removeprefix(f"{'.'.join(_said(mine.root, path[:depth]))}: ")
    node = mine.root.at(*path)
    lacks = message.startswith(("lacks ", "no ")) or node.value in ("", None)
    return Fault(path, message, given=not lacks and not node.children)


def _said(root: Node, path: Fields) -> list[str]:
    """A path as the linter's own messages spell it: items of a list by their name, or counted from one."""
    words = []
    for depth, part in enumerate(path, 1):
        node = root.at(*path[:depth])
        named = next((text for key in ("id", "name", "value") if (text := node.at(key).text)), None)
        words.append((named or str(part + 1)) if isinstance(part, int) else part)
    return words


def _plainest(made: list[Fault]) -> Iterator[Fault]:
    """Each once; and of what several readings say of one figure only what names it as the shop does."""
    for one in dict.fromkeys(made):
        named = [f for f in made if f.path == one.path and len(f.path) > 1 and f.message.startswith(f"{f.path[-2]} ")]
        if not named or one in named:
            yield one


__all__ = ["Fault", "faults", "faults_of", "file_of", "shipped"]
