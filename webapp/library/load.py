"""Loads procedures/ as one frozen Library."""

from pathlib import Path

from webapp.core.errors import BadInput
from webapp.core.lengths import MM, Unit
from webapp.core.procedure import Catalogue, Library, Procedure, Vehicle

from .lint import everything_wrong
from .shape import Model, shape
from .sources import Sources, model, sources


def load(folder: Path, unit: Unit = MM) -> Library:
    """Return the library of `folder`, with its lengths shown in `unit`.

    What lint finds fault with is not worked with: raises BadInput with the first finding and how many there are.
    """
    library = sources(folder)
    wrong = everything_wrong(folder, library)
    if wrong:
        more = f" ({len(wrong) - 1} more: baybook lint)" if len(wrong) > 1 else ""
        raise BadInput("library", "procedures", f"{wrong[0]}{more}")
    return build(library, unit)


def build(library: Sources, unit: Unit = MM) -> Library:
    """Return the library that these files make. What lint would find fault with may raise, or be taken as it is."""
    whole = [Procedure.model_validate(root.plain()) for root in library.all_procedures]
    return Library(
        catalogue=_all(library, Catalogue)[0],
        procedures={one.procedure: one for one in whole},
        vehicles={one.vehicle: one for one in _all(library, Vehicle)},
        unit=unit,
    )


def _all(library: Sources, wanted: type[Model]) -> list[Model]:
    made = (shape(one, wanted)[0] for one in library.documents if model(one.file) is wanted)
    return [one for one in made if one is not None]
