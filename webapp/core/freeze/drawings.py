"""The drawings of a sheet, and what each of them depends on.

A drawing is named by a key that says all it is made from. A phone cannot draw; it carries the drawings of every
vehicle ready made, finds each by the key that it works out itself, and so freezes the very sheet that the server does.
What differs from job to job in one drawing, the places of the targets on the floor, comes in layers, one a place; so
the number of drawings does not grow with every set of calibrations that a vehicle may come for.
"""

import json
from collections.abc import Collection
from functools import lru_cache
from typing import Any

from ..drawing import draw_layers
from ..drawing.layers import Layers, seen_for
from ..lengths import MM, Unit
from ..procedure import Library, Procedure, Vehicle
from ..sheet import Say, canonical
from .measures import points_of

USED = ("method", "track_mm", "bar_mm", "hubs", "target", "stands")
"""Of a measurement, what a drawing shows; where labels are scanned, that the stand itself is there."""


def key_of(
    name: str, outline: dict[str, float], places: list[dict[str, Any]], given: dict[str, Any], unit: Unit
) -> str:
    """The key of the drawing of that name: `places` where targets stand, `given` what is measured, or the area."""
    return canonical({"drawing": name, "outline": outline, "places": places, "given": given} | in_unit(unit))


def in_unit(unit: Unit) -> dict[str, Unit]:
    """The unit that is said; mm are not, so that what a sheet in mm is called hangs on no setting."""
    return {} if unit == MM else {"unit": unit}


def area_key(outline: dict[str, float], area: dict[str, float] | None, unit: Unit) -> str:
    return key_of("area", outline, [], area or {}, unit)


def floor_key(library: Library, vehicle: Vehicle, outline: dict[str, float], procedure: Procedure) -> str:
    """The points to chalk before a floor survey are those it will read; round them every target's place."""
    survey = next((one.measure for one in procedure.steps if one.measure and one.measure.method == "floor"), None)
    given = {"points": points_of(survey) if survey else [], "spots": _spots(library, vehicle)}
    return key_of("floor", outline, [], given, library.unit)


def _spots(library: Library, vehicle: Vehicle) -> list[dict[str, Any]]:
    spots = library.catalogue.spots
    return [
        {"of": name, "x_mm": one.x.value, "y_mm": one.y.value, "name": spots[one.spot].name}
        for name in library.procedures
        if name in vehicle.specs
        for one in vehicle.specs[name].placements
    ]


def figure_key(
    name: str, outline: dict[str, float], places: list[dict[str, Any]], measure: dict[str, Any], unit: Unit
) -> str:
    return key_of(name, outline, places, {part: measure[part] for part in USED if part in measure}, unit)


def for_job(layers: Layers, calibrations: Collection[str]) -> dict[str, str]:
    """The drawing as the sheet of a job with these calibrations has it."""
    return {part: seen_for(pieces, calibrations) for part, pieces in layers.items()}


@lru_cache(maxsize=512)
def drawn(key: str, say: Say) -> Layers:
    """Draw what the key asks for. Many jobs share one: same model, same calibration, same drawing."""
    about = json.loads(key)
    return draw_layers(about["drawing"], about["outline"], about["places"], about["given"], say, about.get("unit", MM))
