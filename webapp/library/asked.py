"""Which figures a procedure takes from a vehicle's spec, and what for: what a form has to ask for."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from webapp.core.procedure import Library, Limits, Measure, Procedure, Step
from webapp.core.quantity import UNITS

from .checks import measured


@dataclass(frozen=True)
class Asked:
    """A figure by name, its base unit, whether it is held against as limits, and the step that takes it first."""

    name: str
    unit: str
    limits: bool
    step: str


def asked(procedures: Iterable[Procedure]) -> list[Asked]:
    """Return the figures that these procedures take, in their order, each once."""
    found: dict[str, Asked] = {}
    for procedure in procedures:
        for one in _asked(procedure):
            found.setdefault(one.name, one)
    return list(found.values())


def set_up_of(library: Library, calibrations: Iterable[str]) -> list[Procedure]:
    """The shared procedures that jobs with these calibrations hold, which take the vehicle's own figures."""
    wanted = {name for one in calibrations if one in library.procedures for name in library.procedures[one].set_up}
    return [one for one in library.procedures.values() if one.sort == "closing" or one.procedure in wanted]


def _asked(procedure: Procedure) -> Iterator[Asked]:
    for step in procedure.steps:
        if step.measure:
            yield from _in_measure(step, step.measure)
    for name, unit in procedure.needs.items():
        yield Asked(name, UNITS.get(unit, (unit, 1.0))[0], False, procedure.title)


def _in_measure(step: Step, measure: Measure) -> Iterator[Asked]:
    units = {one.name: one.unit for one in measure.readings}
    for reading in measure.readings:
        yield from _taken(step, reading.limits, reading.name, reading.unit)
    for compare in measure.compare:
        yield from _taken(step, compare.limits, compare.of[0], units.get(compare.of[0], ""))
    for name, limits in measure.limits.items():
        yield from _taken(step, limits, name, measured.UNITS.get(name, "mm"))
    for name, figure in (("track", measure.track), ("bar", measure.bar)):
        if isinstance(figure, str):
            yield Asked(_name(figure, name), "mm", False, step.do)


def _taken(step: Step, limits: Limits | str | None, name: str, unit: str) -> Iterator[Asked]:
    if isinstance(limits, str):
        yield Asked(_name(limits, name), unit, True, step.do)
    elif limits is not None:
        for figure in (limits.low, limits.high, limits.nominal, limits.tolerance):
            if isinstance(figure, str):
                yield Asked(_name(figure, name), unit, False, step.do)


def _name(figure: str, name: str) -> str:
    return figure.removeprefix("spec").removeprefix(".") or name
