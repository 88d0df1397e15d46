"""`baybook lint`: everything that is wrong in a library, in one run, ordered by file and line."""

import os
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from webapp.core.procedure import Catalogue, Fragments, ProcedureFile, Vehicle

from .checks import CHECKS
from .finding import Finding
from .shape import shape
from .sources import Sources, model, sources, strays


def lint(folder: Path) -> list[Finding]:
    """Return every finding in the library of `folder`, ordered by file and line; none where it is clean."""
    return everything_wrong(folder, sources(folder))


def everything_wrong(folder: Path, library: Sources) -> list[Finding]:
    """Return every finding in the files that were read from `folder`."""
    reading = [found for one in library.documents for found in (*one.findings, *shape(one, model(one.file))[1])]
    checked = [found for check in CHECKS for found in check(library)]
    return sorted({*strays(folder), *reading, *checked})


def report(folder: Path) -> tuple[list[str], int]:
    """Return the lines that `baybook lint` prints, each with the file's path from here, and its exit status."""
    findings = lint(folder)
    if not findings:
        return [f"{folder.name}: clean"], 0
    prefix = Path(os.path.relpath(folder))
    return [f"{(prefix / one.file).as_posix()}:{one.line}: {one.message}" for one in findings], 1


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
