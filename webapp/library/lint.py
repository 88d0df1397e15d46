"""`baybook lint`: everything that is wrong in a library, in one run, ordered by file and line."""

import os
from pathlib import Path
from typing import Any

from .checks import CHECKS
from .finding import Finding
from .shape import shape
from .sources import Sources, model, sources, strays

SCHEMAS = ("procedure", "catalogue", "vehicle")


def lint(folder: Path) -> list[Finding]:
    """Return every finding in the library of `folder`, ordered by file and line; none where it is clean."""
    if not folder.is_dir():
        return [Finding(folder.name, 1, "no such folder, expected a library with shared/ and vehicles/")]
    library = sources(folder)
    return sorted({*strays(folder), *shapes(library), *(found for check in CHECKS for found in check(library))})


def shapes(library: Sources) -> list[Finding]:
    """Return what keeps the files from being read at all."""
    findings: list[Finding] = []
    for document in library.documents:
        findings += document.findings
        findings += shape(document, model(document.file))[1]
    return findings


def report(folder: Path) -> tuple[list[str], int]:
    """Return the lines that `baybook lint` prints, each with the file's path from here, and its exit status."""
    findings = lint(folder)
    if not findings:
        return [f"{folder.name}: clean"], 0
    prefix = Path(os.path.relpath(folder))
    return [f"{(prefix / one.file).as_posix()}:{one.line}: {one.message}" for one in findings], 1


def lint_schema() -> dict[str, dict[str, Any]]:
    """Return the JSON Schema of each sort of file, by the sort's name."""
    from webapp.core.procedure import Catalogue, Procedure, Vehicle

    return {one.__name__.lower(): one.model_json_schema() for one in (Procedure, Catalogue, Vehicle)}
