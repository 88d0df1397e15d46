"""Whatever one file calls by name has to be there: procedures, steps, cautions, targets, spots, repair reasons."""

from collections.abc import Iterable, Iterator

from webapp.core.freeze.measures import STAND
from webapp.core.procedure import REASONS
from webapp.library.finding import Finding, expected
from webapp.library.read import Node
from webapp.library.sources import Sources

# What a procedure of each sort may come after. An axis is found once nothing rolls the vehicle any more, and a drive
# begins once the floor is cleared; what a calibration stands on is its set-up, and comes before it anyway.
AFTER = {
    "set-up": ("set-up", "calibration"),
    "calibration": ("calibration", "closing"),
    "closing": ("closing",),
    "day": ("day",),
}


def check(sources: Sources) -> Iterator[Finding]:
    for target in sources.catalogue.at("targets").fields.values():
        yield from _catalogued(sources, [target.at("home")], "spots")
    for procedure in sources.procedures.values():
        yield from among(procedure.at("due-when").items, REASONS, "repair reason")
        yield from _procedures(sources, procedure.at("set-up").items, ("set-up",))
        yield from _procedures(sources, procedure.at("after").items, AFTER.get(procedure.at("sort").text, ()))
        for step in procedure.at("steps").items:
            yield from _in_step(sources, procedure, step)
    for vehicle in sources.vehicles.values():
        for variant in vehicle.at("variants").items:
            own = vehicle.at("figures").fields
            yield from among(_keys(variant.at("figures")), own, "figure of this vehicle")
        yield from _procedures(sources, _keys(vehicle.at("specs")), ("calibration",))
        for spec in vehicle.at("specs").fields.values():
            yield from _pairs(sources, spec.at("placements").items)


def among(given: Iterable[Node], known: Iterable[str], what: str) -> Iterator[Finding]:
    known = list(known)
    for node in given:
        if node.text and node.text not in known:
            yield node.says(f"unknown {what} '{node.text}', {expected(node.text, known)}")


def _keys(mapping: Node) -> list[Node]:
    return [Node(name, node.file, node.line) for name, node in mapping.fields.items()]


def _in_step(sources: Sources, procedure: Node, step: Node) -> Iterator[Finding]:
    yield from _catalogued(sources, step.at("caution").items, "cautions")
    for part in ("when", "unless"):
        yield from _procedures(sources, step.at(part).items, ("calibration", "set-up"))
    yield from _pairs(sources, step.at("pairs").items)
    yield from _catalogued(sources, step.at("spots").items, "spots")
    readings = [reading.at("name").text for reading in step.at("measure", "readings").items]
    above = [one.at("above") for one in step.at("measure", "readings").items]
    yield from _catalogued(sources, [one for one in above if one.text != STAND], "spots")
    for compare in step.at("measure", "compare").items:
        yield from among(compare.at("of").items, readings, "reading")
    for cause in step.at("causes").items:
        yield from _redo(sources, procedure, cause.at("redo"))


def _pairs(sources: Sources, pairs: list[Node]) -> Iterator[Finding]:
    yield from _catalogued(sources, [pair.at("target") for pair in pairs], "targets")
    yield from _catalogued(sources, [pair.at("spot") for pair in pairs], "spots")


def _catalogued(sources: Sources, given: list[Node], part: str) -> Iterator[Finding]:
    # A catalogue that cannot be read has its own finding; everything in it would seem unknown.
    if part in sources.catalogue.fields:
        yield from among(given, sources.catalogue.at(part).fields, part.removesuffix("s"))


def _procedures(sources: Sources, given: list[Node], wanted: tuple[str, ...]) -> Iterator[Finding]:
    """Each must be a procedure of a sort that is wanted; where a sort is not known there is nothing to say."""
    sorts = {name: one.at("sort").text for name, one in sources.procedures.items()}
    fitting = [name for name, other in sorts.items() if other in (*wanted, "") or not wanted]
    sort = f"{' or '.join(wanted)} procedure".strip()
    yield from among([one for one in given if one.text not in sorts], fitting, sort)
    for node in given:
        if node.text in sorts and node.text not in fitting:
            yield node.says(f"'{node.text}' is a {sorts[node.text]} procedure, expected a {sort}")


def _redo(sources: Sources, procedure: Node, redo: Node) -> Iterator[Finding]:
    name, slash, step = redo.text.rpartition("/")
    if slash and name not in sources.procedures:
        yield from among([Node(name, redo.file, redo.line)], sources.procedures, "procedure")
        return
    other = sources.procedures[name] if slash else procedure
    if other.fields:
        ids = [one.at("id").text for one in other.at("steps").items]
        yield from among([Node(step, redo.file, redo.line)], ids, f"step of {name}" if slash else "step")
