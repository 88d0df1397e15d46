"""What a procedure takes from a vehicle's spec, the spec has to give: figures in the right unit, and placements."""

from collections.abc import Iterator, Mapping
from dataclasses import replace

from webapp.core.quantity import UNITS
from webapp.library.finding import Finding, expected
from webapp.library.read import Node
from webapp.library.sources import Sources

from .limits import BOUNDS, fits, reaches
from .measured import Held, figure_taken, held, quantity

PLACED = {"stand", "reflector", "patterns"}
Figures = Mapping[str, Node]


def check(sources: Sources) -> Iterator[Finding]:
    for name, procedure in sources.procedures.items():
        for vehicle in sources.vehicles.values():
            if _serves(sources, name, procedure, vehicle):
                spec = vehicle.at("specs", name)
                place = spec if spec.fields else vehicle.at("figures")
                for given in _given(vehicle, spec):
                    yield from _needs(procedure, given, place)
                    yield from _taken(procedure, given, place)
                yield from _placements(procedure, spec)
        if procedure.at("sort").text == "day":
            yield from _without_vehicle(procedure)


def _given(vehicle: Node, spec: Node) -> Iterator[Figures]:
    """Yield the figures that a procedure meets: the vehicle's own under its spec's, then so with each variant's."""
    own = vehicle.at("figures").fields
    for variant in (Node(None, vehicle.file, vehicle.line), *vehicle.at("variants").items):
        yield {**own, **variant.at("figures").fields, **spec.at("figures").fields}


def _serves(sources: Sources, name: str, procedure: Node, vehicle: Node) -> bool:
    """Say whether this vehicle's jobs can hold this procedure."""
    specs = vehicle.at("specs").fields
    sort = procedure.at("sort").text
    if sort == "set-up":
        calibrations = [sources.procedures[one] for one in specs if one in sources.procedures]
        return any(name in [node.text for node in one.at("set-up").items] for one in calibrations)
    return name in specs if sort == "calibration" else sort == "closing" and bool(specs)


def _needs(procedure: Node, given: Figures, place: Node) -> Iterator[Finding]:
    for name, unit in procedure.at("needs").fields.items():
        base = UNITS[unit.text][0] if unit.text in UNITS else unit.text
        if base not in {known for known, _ in UNITS.values()}:
            yield unit.says(f"unknown unit '{unit.text}', {expected(unit.text, UNITS)}")
        elif name not in given:
            yield place.says(_missing(name, base, given, unit))
        else:
            yield from _in_unit(given[name], Held(given[name], name, base))


def _taken(procedure: Node, given: Figures, place: Node) -> Iterator[Finding]:
    for one in held(procedure):
        yield from _reference(one, one.node, given, place, as_limits=not one.bare)
        for key in BOUNDS:
            yield from _reference(one, one.node.at(key), given, place, as_limits=False)


def _reference(one: Held, node: Node, given: Figures, place: Node, *, as_limits: bool) -> Iterator[Finding]:
    name = figure_taken(node, one.name)
    if name is None:
        return
    if name not in given:
        yield place.says(_missing(name, one.unit, given, node))
        return
    figure = given[name]
    taken = replace(one, node=figure, bare=False)
    yield from _in_unit(figure, taken)
    yield from reaches(figure, taken)
    has = set(figure.fields)
    taker = f"{node.file}:{node.line}"
    if as_limits and not ({"nominal", "tolerance"} <= has or has & {"low", "high"}):
        yield figure.says(f"'{name}' is no limits, expected low and high, or nominal and tolerance ({taker} takes it)")
    if not as_limits and not has & {"value", "nominal"}:
        yield figure.says(f"'{name}' is no single figure, expected value or nominal ({taker} takes it)")


def _in_unit(figure: Node, one: Held) -> Iterator[Finding]:
    for key in figure.fields:
        found = quantity(figure.at(key))
        if found:
            yield from fits(figure.at(key), found, one, is_width=key == "tolerance")


def _missing(name: str, unit: str, given: Figures, taker: Node) -> str:
    near = expected(name, given)
    hint = f", or {near.removeprefix('expected ')}" if near.endswith("?") else ""
    return f"lacks the figure '{name}', expected in {unit}{hint} ({taker.file}:{taker.line} takes it)"


def _placements(procedure: Node, spec: Node) -> Iterator[Finding]:
    if not spec.fields:
        return
    there = [one.at("spot").text for one in spec.at("placements").items]
    for step in procedure.at("steps").items:
        takes = step.at("pairs") if step.at("pairs").text == "spec" else step.at("drawing")
        if takes.text in {"spec", *PLACED} and not there:
            yield spec.says(f"no placements, expected one or more ({takes.file}:{takes.line} takes them)")
            return
        for spot in step.at("spots").items:
            if spot.text and spot.text not in there:
                taker = f"{spot.file}:{spot.line}"
                yield spec.says(f"no placement in the spot '{spot.text}', expected one ({taker} takes it)")


def _without_vehicle(procedure: Node) -> Iterator[Finding]:
    for one in held(procedure):
        for node in (one.node, *one.node.fields.values()):
            if figure_taken(node, one.name):
                yield node.says(f"'{node.text}' in a day procedure, which has no vehicle, expected a quantity")
    for node in procedure.at("needs").fields.values():
        yield node.says("needs in a day procedure, which has no vehicle, expected none")
