"""The shelf: what a phone needs of the library to plan and freeze a job alone, as JSON.

Quantities are numbers in their base unit here, and a figure that is a text refers to the vehicle's spec. Procedures and
vehicles are lists, since their order counts and a JSON object has none. The drawings come ready made, by their keys
(see `core.freeze.drawings`): a sheet frozen on the phone is the very sheet that the server would freeze.
"""

from collections.abc import Callable, Iterator
from itertools import product
from typing import Any

from pydantic import BaseModel

from .drawing.layers import Layers
from .errors import BaybookError
from .freeze import freeze
from .freeze.drawings import area_key, drawn
from .freeze.head import vehicle_of
from .plan import Proposal, area_needed
from .procedure import Library, Vehicle
from .quantity import Quantity
from .redrawn import parts_of
from .sheet import Say

FORMAT = 1
Drawings = dict[str, Layers]


def shelf(library: Library, say: Say, drawings: Callable[[Vehicle], Drawings] | None = None) -> dict[str, Any]:
    """The library with every drawing that a job of one of its vehicles may have, worded by `say`.

    `drawings` gives those of a vehicle where they are known already.
    """
    every: Drawings = {}
    for vehicle in library.vehicles.values():
        every |= drawings(vehicle) if drawings else drawings_of(library, vehicle, say)
    return {
        "format": FORMAT,
        "catalogue": plain(library.catalogue),
        "procedures": plain([*library.procedures.values()]),
        "vehicles": plain([*library.vehicles.values()]),
        "drawings": every,
        "approvals": plain({name: one.model_dump() for name, one in library.approvals.items()}),
        "unit": library.unit,
    }


def plain(value: Any) -> Any:
    """A part of the library as JSON."""
    if isinstance(value, Quantity):
        return value.value
    if isinstance(value, BaseModel):
        return {name: plain(getattr(value, name)) for name in type(value).model_fields}
    if isinstance(value, dict):
        return {name: plain(one) for name, one in value.items()}
    return [plain(one) for one in value] if isinstance(value, list) else value


def drawings_of(library: Library, vehicle: Vehicle, say: Say) -> Drawings:
    """Every drawing by its key: those of each calibration alone, and the areas that several together may need."""
    made: Drawings = {}

    def draw(key: str) -> Layers:
        made[key] = drawn(key, say)
        return made[key]

    _draw_all(library, vehicle, draw)
    return made


def can_be_worked(library: Library, vehicle: Vehicle, say: Say) -> bool:
    """Whether a sheet of each of the vehicle's calibrations can be made with these procedures, and drawn."""
    try:
        drawings_of(library, vehicle, say)
    except (BaybookError, KeyError, ValueError):
        return False
    return True


def lettering(library: Library, vehicle: Vehicle, english: Say, say: Say) -> dict[str, str]:
    """The vehicle's drawings as `say` words them, by the same in English: letters, with their lines where these
    differ, and sentences. See `core.redrawn`.
    """
    made: dict[str, str] = {}

    def draw(key: str) -> Layers:
        here, there = drawn(key, english), drawn(key, say)
        made.update(parts_of(here, there))
        return here

    _draw_all(library, vehicle, draw)
    return made


def _draw_all(library: Library, vehicle: Vehicle, draw: Callable[[str], Layers]) -> None:
    """Ask `draw` for every drawing that a job of this vehicle may have."""
    for name, answers in product(vehicle.specs, _answers(vehicle)):
        job = {"sort": "calibration", "qualifiers": answers}
        freeze(library, job, vehicle, [Proposal(name, ())], {}, draw)
    for area in _areas(library, vehicle):
        draw(area_key(vehicle_of(vehicle)["outline"], area, library.unit))


def _answers(vehicle: Vehicle) -> Iterator[dict[str, str]]:
    """Every way to answer the vehicle's questions."""
    names = [one.name for one in vehicle.qualifiers]
    for values in product(*([option.value for option in one.options] for one in vehicle.qualifiers)):
        yield dict(zip(names, values, strict=True))


def _areas(library: Library, vehicle: Vehicle) -> list[dict[str, float]]:
    """Every clear area that some of the vehicle's calibrations need together. Far fewer than there are such sets."""
    found: list[dict[str, float]] = []
    for name in vehicle.specs:
        own = area_needed(library, [name])
        if own is None:
            continue
        joint = [{side: max(own[side], other[side]) for side in own} for other in found]
        found += [area for area in (own, *joint) if area not in found]
    return found
