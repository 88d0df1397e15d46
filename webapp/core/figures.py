"""Turning what a procedure asks for into numbers: literal quantities, or the vehicle's own figures."""

from collections.abc import Mapping
from types import MappingProxyType

from .errors import BadInput
from .numbers import rounded
from .procedure import Limits, Spec, SpecFigure, Vehicle
from .quantity import Quantity
from .written import Figure

Figures = Mapping[str, SpecFigure]


def figures_of(
    vehicle: Vehicle | None, procedure: str, qualifiers: Mapping[str, str] = MappingProxyType({})
) -> dict[str, SpecFigure]:
    """The figures a procedure may ask for: the vehicle's, as its qualifiers have them, under those of its spec.

    Each says where it comes from, as the record cites it: its own source, or that of the vehicle or the spec it is in.
    """
    if vehicle is None:
        return {}
    spec = vehicle.specs.get(procedure)
    own = {**vehicle.figures, **_varied(vehicle, qualifiers)}
    return {**_cited(own, vehicle), **(_cited(spec.figures, spec) if spec else {})}


def _cited(figures: Figures, by: Vehicle | Spec) -> dict[str, SpecFigure]:
    cited = {"source": by.source, "revision": by.revision}
    return {name: one if one.source else one.model_copy(update=cited) for name, one in figures.items()}


def source_of(limits: Limits | str | None, name: str, figures: Figures) -> dict[str, str | int | None] | None:
    """Where limits come from: the source and its revision; None where the procedure itself states them."""
    if not isinstance(limits, str):
        return None
    found = _named(limits, name, figures)
    return {"source": found.source, "revision": found.revision}


def _varied(vehicle: Vehicle, qualifiers: Mapping[str, str]) -> dict[str, SpecFigure]:
    """What the vehicle's variants put in place of its own figures. A question nobody answered changes nothing."""
    fitting = [
        one
        for one in vehicle.variants
        if all(
            qualifiers.get(name) in ([values] if isinstance(values, str) else values)
            for name, values in one.only_if.items()
        )
    ]
    return {name: figure for one in fitting for name, figure in one.figures.items()}


def _named(reference: str, name: str, figures: Figures) -> SpecFigure:
    wanted = reference.removeprefix("spec").removeprefix(".") or name
    if wanted not in figures:
        raise BadInput(
            "figure-missing",
            wanted,
            f"{wanted} is not among the vehicle's figures; expected one of {', '.join(sorted(figures))}",
        )
    return figures[wanted]


def number(figure: Figure | None, name: str, figures: Figures) -> float | None:
    """One number in its base unit; from a spec's figure the value, else the nominal."""
    if figure is None:
        return None
    if isinstance(figure, Quantity):
        return figure.value
    found = _named(figure, name, figures)
    held = found.value or found.nominal
    return None if held is None else held.value


def interval(
    limits: Limits | SpecFigure | str | None, name: str, figures: Figures
) -> tuple[float | None, float | None]:
    """The limits (low, high) in base units; None where that side is open."""
    if limits is None:
        return None, None
    if isinstance(limits, str):
        return interval(_named(limits, name, figures), name, figures)
    nominal, tolerance = number(limits.nominal, name, figures), number(limits.tolerance, name, figures)
    low, high = number(limits.low, name, figures), number(limits.high, name, figures)
    if nominal is not None and tolerance is not None:
        # Rounded to a nanometre, so that 1500.1 - 0.3 does not read 1499.8000000000002 on the card.
        return rounded(nominal - tolerance, 6), rounded(nominal + tolerance, 6)
    return low, high


def centre(limits: Limits | str | None, name: str, figures: Figures) -> float:
    """Where to aim: the nominal, else the middle of the limits, else 0."""
    if isinstance(limits, str):
        held = _named(limits, name, figures)
        if held.nominal is not None:
            return held.nominal.value
    elif limits is not None:
        nominal = number(limits.nominal, name, figures)
        if nominal is not None:
            return nominal
    low, high = interval(limits, name, figures)
    return 0.0 if low is None or high is None else (low + high) / 2
