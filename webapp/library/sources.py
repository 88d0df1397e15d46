"""Which files make the library, and how they are reached by name, whether they read or not."""

from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from pydantic import BaseModel

from webapp.core.procedure import Catalogue, Fragments, ProcedureFile, Vehicle

from .finding import Finding
from .fragments import expanded
from .read import Document, Node, read

CATALOGUE = "shared/catalogue.yaml"
FRAGMENTS = "shared/fragments.yaml"
SPECIAL: dict[str, type[BaseModel]] = {CATALOGUE: Catalogue, FRAGMENTS: Fragments}
FOLDERS = {"": "calibrations", "shared": "set-up, closing and day procedures", "vehicles": "vehicles"}


@dataclass(frozen=True)
class Sources:
    """The files of a library as they stand, by name; a file that cannot be read is an empty node under its name."""

    documents: tuple[Document, ...]

    @cached_property
    def catalogue(self) -> Node:
        return next(one.root for one in self.documents if one.file == CATALOGUE)

    @cached_property
    def fragments(self) -> Node:
        """The shared fragments, by name; empty where there are none."""
        found = (one.root.at("fragments") for one in self.documents if one.file == FRAGMENTS)
        return next(found, Node(None, FRAGMENTS, 1))

    @cached_property
    def written(self) -> tuple[Node, ...]:
        """The procedures as their files have them, each `use` in its place."""
        return tuple(one.root for one in self.documents if model(one.file) is ProcedureFile)

    @cached_property
    def all_procedures(self) -> tuple[Node, ...]:
        """The procedures with their fragments taken in."""
        return tuple(expanded(root, self.fragments) for root in self.written)

    @cached_property
    def procedures(self) -> dict[str, Node]:
        """The procedures by name, fragments taken in; of two with one name (which is a finding) the last."""
        return {stem(root.file): root for root in self.all_procedures}

    @cached_property
    def vehicles(self) -> dict[str, Node]:
        return {stem(one.file): one.root for one in self.documents if model(one.file) is Vehicle}


def sources(folder: Path) -> Sources:
    """Read every file of the library in `folder`; the catalogue always counts as one of them."""
    found = {path.relative_to(folder).as_posix() for path in folder.rglob("*.yaml")}
    placed = {file for file in found if file.rpartition("/")[0] in FOLDERS}
    return Sources(tuple(read(folder, file) for file in sorted(placed | {CATALOGUE})))


def strays(folder: Path) -> list[Finding]:
    """Find the files that look like part of the library and are not read."""
    found = [path.relative_to(folder) for ending in ("*.yaml", "*.yml") for path in folder.rglob(ending)]
    wrong = [path for path in found if path.suffix == ".yml" or not _has_a_place(path)]
    places = "procedures/, shared/, vehicles/ or translations/LANGUAGE/"
    return [Finding(path.as_posix(), 1, f"is not read here, expected NAME.yaml in {places}") for path in wrong]


def sort_of(file: str) -> str:
    """Return the name of the sort of a file, by its place: catalogue, fragments, vehicle or procedure."""
    return {CATALOGUE: "catalogue", FRAGMENTS: "fragments"}.get(file) or (
        "vehicle" if file.startswith("vehicles/") else "procedure"
    )


def _has_a_place(path: Path) -> bool:
    return path.parent.as_posix().removeprefix(".") in FOLDERS or path.match("translations/*/*.yaml")


def model(file: str) -> type[BaseModel]:
    """Return the schema that a file follows, by its place."""
    if file in SPECIAL:
        return SPECIAL[file]
    return Vehicle if file.startswith("vehicles/") else ProcedureFile


def stem(file: str) -> str:
    return Path(file).stem
