"""Loads procedures/ as one frozen Library."""

from pathlib import Path

from webapp.core.errors import BadInput
from webapp.core.procedure import Catalogue, Library, Procedure, Vehicle

from .finding import Finding
from .read import Document, read
from .shape import Model, shape

CATALOGUE = "shared/catalogue.yaml"


def files(folder: Path) -> list[str]:
    """Return the library's files, relative to its folder, in the order of their names."""
    found = [*folder.glob("*.yaml"), *folder.glob("shared/*.yaml"), *folder.glob("vehicles/*.yaml")]
    return sorted(path.relative_to(folder).as_posix() for path in found)


def load(folder: Path) -> Library:
    """Return the library of `folder`.

    Raises BadInput with the first finding, `file:line: what, and what was expected`, where a file does not read.
    """
    documents = [read(folder, file) for file in files(folder)]
    procedures = [_must(one, Procedure) for one in documents if is_procedure(one.file)]
    vehicles = [_must(one, Vehicle) for one in documents if one.file.startswith("vehicles/")]
    return Library(
        catalogue=_must(read(folder, CATALOGUE), Catalogue),
        procedures={one.procedure: one for one in procedures},
        vehicles={one.vehicle: one for one in vehicles},
    )


def is_procedure(file: str) -> bool:
    return file != CATALOGUE and not file.startswith("vehicles/")


def _must(document: Document, model: type[Model]) -> Model:
    made, findings = shape(document, model)
    wrong: list[Finding] = [*document.findings, *findings]
    if made is None or wrong:
        raise BadInput("library", "procedures", str(min(wrong)))
    return made
