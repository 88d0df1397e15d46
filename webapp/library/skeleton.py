"""What a new language begins with: every text that it needs, in English, for somebody to fill in."""

import json
import re
from pathlib import Path

from webapp.core.errors import BadInput, shown
from webapp.messages import ENGLISH, MESSAGES

from .sources import sources
from .translations import FOLDER, texts_of, translations

CODE = re.compile("[a-z]{2,3}(-[A-Za-z0-9]{2,8})*")


def begin(code: str, folder: Path, messages: Path = MESSAGES) -> list[Path]:
    """Write what a language lacks; what it has stays as it is. Returns the files that were written.

    Messages come as comments, to be turned into the language one by one; the library's texts with nothing behind them.
    Raises BadInput (`language-code`).
    """
    if not CODE.fullmatch(code) or code == ENGLISH:
        raise BadInput(
            "language-code", "start", f"start={shown(code)} is no other language's code; say like fr or pt-BR"
        )
    return [*_messages(code, messages), *_library(code, folder)]


def _messages(code: str, folder: Path) -> list[Path]:
    written = []
    for name, made in (("{}.ftl", _as_comments), ("{}.refusals.yaml", lambda text, _code: text)):
        path, model = folder / name.format(code), folder / name.format(ENGLISH)
        if not path.exists():
            path.write_text(made(model.read_text(encoding="utf-8"), code), encoding="utf-8")
            written.append(path)
    return written


def _as_comments(text: str, code: str) -> str:
    """The two messages that no language can do without stand; all else waits, and is said in English till then."""
    head = f"language-name = {code}\ndecimal-sign = .\n"
    lines = [line for line in text.splitlines() if not line.startswith(("language-name", "decimal-sign"))]
    return head + "".join(f"{line}\n" if not line or line.startswith("#") else f"# {line}\n" for line in lines)


def _library(code: str, folder: Path) -> list[Path]:
    """One file for each of the library's; a text that stands in several is asked for in the first."""
    said = {text for one in translations(folder).get(code, []) for text in one.root.fields}
    written = []
    for file, nodes in texts_of(sources(folder)).items():
        wanted = [text for text in dict.fromkeys(node.text.strip() for node in nodes) if text not in said]
        said |= set(wanted)
        path = folder / FOLDER / code / Path(file).name
        if wanted:
            path.parent.mkdir(parents=True, exist_ok=True)
            with path.open("a", encoding="utf-8") as opened:
                opened.writelines(f"{_quoted(text)}:\n" for text in wanted)
            written.append(path)
    return written


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)
