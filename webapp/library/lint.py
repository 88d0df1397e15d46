"""`baybook lint`: everything that is wrong in a library, in one run, ordered by file and line."""

import os
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from webapp.core.procedure import Catalogue, Fragments, ProcedureFile, Vehicle
from webapp.messages import MESSAGES

from . import spoken, translations
from .checks import CHECKS
from .finding import Finding, plainest
from .shape import shape
from .sources import Sources, model, sources, strays


def lint(folder: Path) -> list[Finding]:
    """Return every finding in the library of `folder`, ordered by file and line; none where it is clean."""
    return everything_wrong(folder, sources(folder))


def everything_wrong(folder: Path, library: Sources) -> list[Finding]:
    """Return every finding in the files that were read from `folder`."""
    reading = [found for one in library.documents for found in (*one.findings, *shape(one, model(one.file))[1])]
    checked = [found for check in CHECKS for found in check(library)]
    return sorted(plainest([*strays(folder), *reading, *checked]))


def untranslated(folder: Path) -> list[Finding]:
    """Return what is missing or left over in the translations. A page shows English there, so nothing fails for it."""
    return sorted([*spoken.check(), *translations.check(folder, sources(folder))])


def report(folder: Path, translated: bool = False) -> tuple[list[str], int]:
    """Return the lines that `baybook lint` prints, each with the file's path from here, and its exit status.

    `translated` asks for the translations too.
    """
    findings, left = lint(folder), untranslated(folder)
    if not findings and not (left and translated):
        return [f"{folder.name}: clean", *_remark(left)], 0
    prefix = Path(os.path.relpath(folder))
    wrong = [*findings, *left] if translated else findings
    return [f"{_path(prefix, one.file)}:{one.line}: {one.message}" for one in wrong], 1


def _path(folder: Path, file: str) -> str:
    """From here; a message's file lies with the app's."""
    return (
        Path(os.path.relpath(MESSAGES)) / file if file.endswith((".ftl", ".refusals.yaml")) else folder / file
    ).as_posix()


def _remark(left: list[Finding]) -> list[str]:
    return (
        [f"translations: {len(left)} to look at, and English stands there: baybook lint --translations"] if left else []
    )


def lint_schema() -> dict[str, dict[str, Any]]:
    """Return the JSON Schema of each sort of file, by the sort's name."""
    sorts: dict[str, type[BaseModel]] = {
        "procedure": ProcedureFile,
        "fragments": Fragments,
        "catalogue": Catalogue,
        "vehicle": Vehicle,
    }
    return {name: _closed(one.model_json_schema()) for name, one in sorts.items()}


def _closed(schema: Any) -> Any:
    """Where names have a pattern, pydantic refuses every other; its JSON Schema forgets to say so."""
    if isinstance(schema, list):
        return [_closed(one) for one in schema]
    if not isinstance(schema, dict):
        return schema
    made = {key: _closed(value) for key, value in schema.items()}
    return {"additionalProperties": False, **made} if "patternProperties" in made else made
