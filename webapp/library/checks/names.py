"""Names: the file's own is the file's name, and within a list every name stands once."""

from collections.abc import Iterable, Iterator

from webapp.library.finding import Finding
from webapp.library.read import Node, seen_from
from webapp.library.sources import Sources, stem

FOLDER = {"calibration": "procedures/", "set-up": "shared/", "closing": "shared/", "day": "shared/"}


def check(sources: Sources) -> Iterator[Finding]:
    for name, vehicle in sources.vehicles.items():
        yield from _own(vehicle.at("vehicle"), name)
        yield from unique(vehicle.at("qualifiers").items, "name", "qualifier")
        for qualifier in vehicle.at("qualifiers").items:
            yield from unique(qualifier.at("options").items, "value", "option")
    for procedure in sources.all_procedures:
        yield from _own(procedure.at("procedure"), stem(procedure.file))
        yield from _folder(procedure)
        yield from _in_steps(procedure)
        yield from _twice(sources, procedure)


def unique(items: Iterable[Node], key: str, what: str) -> Iterator[Finding]:
    first: dict[str, Node] = {}
    for item in items:
        node = item.at(key)
        if node.text in first:
            place = seen_from(node, first[node.text])
            yield node.says(f"{what} '{node.text}' a second time, expected once (first {place})")
        elif node.text:
            first[node.text] = node


def _own(given: Node, name: str) -> Iterator[Finding]:
    if given.text and given.text != name:
        yield given.says(f"'{given.text}' is not the file's name, expected {name}")


def _folder(procedure: Node) -> Iterator[Finding]:
    sort = procedure.at("sort")
    wanted = FOLDER.get(sort.text)
    if wanted and (wanted == "shared/") != procedure.file.startswith("shared/"):
        yield sort.says(f"a {sort.text} procedure lies here, expected it in {wanted}")


def _in_steps(procedure: Node) -> Iterator[Finding]:
    steps = procedure.at("steps").items
    yield from unique(steps, "id", "step")
    for step in steps:
        yield from unique(step.at("options").items, "value", "option")
        yield from unique(step.at("measure", "readings").items, "name", "reading")
        yield from unique(step.at("measure", "points").items, "name", "point")


def _twice(sources: Sources, procedure: Node) -> Iterator[Finding]:
    last = sources.procedures[stem(procedure.file)]
    if last.file != procedure.file:
        yield procedure.says(f"{last.file} has this name as well, expected a name of its own")
