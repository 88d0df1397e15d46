"""The library in other languages: procedures/translations/LANGUAGE/NAME.yaml, each a list of English: translated.

A text is found by the English text itself, wherever it stands. So no step is named here, a text that stands twice is
translated once, and a text that was changed says so by having no translation.
"""

from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path

from webapp.core.procedure import Catalogue
from webapp.core.wording import HOLE, TEXTS
from webapp.messages import MESSAGES

from .finding import Finding
from .read import Document, Node, read
from .sources import Sources, model

FOLDER = "translations"
FORMER = "former.yaml"
"""Where a language keeps the texts that the library has no more: sheets that were frozen with them are still read."""


def translations(folder: Path) -> dict[str, list[Document]]:
    """The files of each language, by its code."""
    found = sorted((folder / FOLDER).glob("*/*.yaml"))
    made: dict[str, list[Document]] = {}
    for path in found:
        made.setdefault(path.parent.name, []).append(read(folder, path.relative_to(folder).as_posix()))
    return made


def translated(documents: list[Document]) -> dict[str, str]:
    """What a language's files say: English text -> the same in that language."""
    return {english: other.text for one in documents for english, other in one.root.fields.items() if other.text}


@lru_cache
def forms(code: str) -> list[tuple[str, str]]:
    """How refusals read in a language: the English form of each, with its {holes}, and the same in that language.

    Those that say more for themselves come first: `{field} is empty: scan it` would fit `{field} is {what}` too.
    """
    name = f"{code}.refusals.yaml"
    if not (MESSAGES / name).is_file():
        return []
    return sorted(translated([read(MESSAGES, name)]).items(), key=lambda form: -len(HOLE.sub("", form[0])))


def texts_of(library: Sources) -> dict[str, list[Node]]:
    """Every text of the library that people read, by file and in the order in which it stands there."""
    return {one.file: list(_texts(one.root, model(one.file) is Catalogue)) for one in library.documents}


def _texts(node: Node, named: bool, read: bool = False) -> Iterator[Node]:
    if read and node.text:
        yield node
    for key, child in node.children.items():
        # Of what is called `name`, only a target's and a spot's is no identity.
        yield from _texts(child, named, read if isinstance(key, int) else key in TEXTS and (named or key != "name"))


def check(folder: Path, library: Sources) -> list[Finding]:
    """What is missing in a language that has been begun, and what translates a text that is no longer there."""
    english = {one.text.strip(): one for nodes in reversed(texts_of(library).values()) for one in reversed(nodes)}
    found: list[Finding] = []
    for code, documents in translations(folder).items():
        said: dict[str, str] = {}
        found += [finding for one in documents for finding in one.findings]
        for text, other in ((text, other) for one in documents for text, other in one.root.fields.items()):
            if text not in english and Path(other.file).name == FORMER:
                continue
            if text not in english:
                found.append(
                    other.says(f"{_short(text)} is not in the library, expected one of its texts as it stands")
                )
            elif said.setdefault(text, other.text) != other.text:
                found.append(other.says(f"{_short(text)} is translated twice, and otherwise"))
            if not other.text:
                found.append(other.says(f"{_short(text)} has no translation, expected a text"))
        found += [
            node.says(f"{_short(text)} is missing in {FOLDER}/{code}")
            for text, node in english.items()
            if text not in said
        ]
    return found


def _short(text: str, most: int = 60) -> str:
    return f"'{text}'" if len(text) <= most else f"'{text[:most].rstrip()}…'"
