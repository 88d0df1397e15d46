"""A whole library with all that is made of its files, from a folder or from the files that a release brought."""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from webapp.core.errors import BadInput
from webapp.core.lengths import MM, Unit
from webapp.core.procedure import Library
from webapp.core.shelf import can_be_worked
from webapp.messages import Tongue, english

from .load import load
from .read import parsed
from .sources import FOLDERS, Sources, sources
from .tongues import tongues
from .written import file_of


@dataclass(frozen=True)
class Stock:
    """The library, its files as the linter reads them, and how it reads in each language. `files` are their bytes."""

    library: Library
    sources: Sources
    tongues: dict[str, Tongue]
    files: dict[str, bytes]


def of_folder(folder: Path, unit: Unit = MM, beneath: Mapping[str, Tongue] | None = None) -> Stock:
    """The library in a folder. `beneath` has texts that it does not translate. Raises BadInput as `load` does."""
    return Stock(load(folder, unit), sources(folder), tongues(folder, beneath), files_in(folder))


def of_files(files: Mapping[str, bytes], unit: Unit = MM, beneath: Mapping[str, Tongue] | None = None) -> Stock:
    """The library that these files make, by their places. Raises BadInput (`library`) as `load` does."""
    with _written(files) as folder:
        return of_folder(folder, unit, beneath)


def documents_in(files: Mapping[str, bytes]) -> dict[str, Any]:
    """What each file says, as plain values."""
    return {place: parsed(place, data).root.plain() for place, data in files.items()}


def files_in(folder: Path) -> dict[str, bytes]:
    """All that a library's folder holds of the library, translations with it, by place."""
    found = (path for path in sorted(folder.rglob("*.yaml")) if path.is_file())
    placed = {path.relative_to(folder).as_posix(): path for path in found}
    return {place: path.read_bytes() for place, path in placed.items() if _is_placed(Path(place))}


def need_workable(stock: Stock) -> None:
    """Raise BadInput (`library`) naming a vehicle of which no sheet can be made, or drawn, with these procedures.

    Takes a second or two: every drawing is made.
    """
    for name, vehicle in stock.library.vehicles.items():
        if not can_be_worked(stock.library, vehicle, english):
            what = (
                f"{file_of(name)}:1: no sheet can be made of it with these procedures, expected figures that fit them"
            )
            raise BadInput("library", "procedures", what)


def _is_placed(place: Path) -> bool:
    return place.parent.as_posix().removeprefix(".") in FOLDERS or place.match("translations/*/*.yaml")


@contextmanager
def _written(files: Mapping[str, bytes]) -> Iterator[Path]:
    """The files as a folder, for as long as the block runs: what reads a library reads folders."""
    with TemporaryDirectory(prefix="baybook-") as made:
        folder = Path(made)
        for place, data in files.items():
            (folder / place).parent.mkdir(parents=True, exist_ok=True)
            (folder / place).write_bytes(data)
        yield folder
