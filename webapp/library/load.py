"""Loads procedures/ as one frozen Library."""

from pathlib import Path

from webapp.core.errors import BadInput
from webapp.core.procedure import Catalogue, Library, Procedure, Vehicle

from .finding import Finding
from .read import Document
from .shape import Model, shape
from .sources import CATALOGUE, model, sources


def load(folder: Path) -> Library:
    """Return the library of `folder`.

    Raises BadInput with the first finding, `file:line: what, and what was expected`, where a file does not read.
    """
    documents = sources(folder).documents
    procedures = [_must(one, Procedure) for one in documents if model(one.file) is Procedure]
    vehicles = [_must(one, Vehicle) for one in documents if model(one.file) is Vehicle]
    catalogues = [_must(one, Catalogue) for one in documents if one.file == CATALOGUE]
    return Library(
        catalogue=catalogues[0],
        procedures={one.procedure: one for one in procedures},
        vehicles={one.vehicle: one for one in vehicles},
    )


def _must(document: Document, wanted: type[Model]) -> Model:
    made, findings = shape(document, wanted)
    wrong: list[Finding] = [*document.findings, *findings]
    if made is None or wrong:
        raise BadInput("library", "procedures", str(min(wrong)))
    return made
