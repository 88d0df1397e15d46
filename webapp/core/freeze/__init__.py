"""Freezing a job: plan, procedures, the vehicle's figures and its qualifiers become the sheet."""

from collections.abc import Callable
from typing import Any

from ..drawing.layers import Layers
from ..plan import Proposal, area_needed, working_order
from ..procedure import Library, Vehicle
from ..sheet import FORMAT, Say, Sheet
from .drawings import drawn, in_unit
from .head import approved, calibration_of, placements_of, section_of, vehicle_of
from .steps import Body

__all__ = ["freeze", "make_sheet"]


def make_sheet(
    library: Library,
    job: dict[str, Any],
    vehicle: Vehicle | None,
    plan: list[Proposal],
    struck: dict[str, str],
    say: Say,
) -> Sheet:
    """Resolve a job's steps from its plan, the procedures, the vehicle's figures and its qualifiers.

    `job` is the sheet's own `job` object; `struck` maps calibrations that were called for and not planned to the
    reason.

    Raises:
        BadInput: where the order goes round in a circle or a figure is missing.
    """
    return freeze(library, job, vehicle, plan, struck, lambda key: drawn(key, say))


def freeze(
    library: Library,
    job: dict[str, Any],
    vehicle: Vehicle | None,
    plan: list[Proposal],
    struck: dict[str, str],
    draw: Callable[[str], Layers],
) -> Sheet:
    """As `make_sheet`; `draw` gives the drawing for a key, which says all that the drawing depends on."""
    if job["sort"] == "day":
        order = [one for one in library.procedures.values() if one.sort == "day"]
    else:
        order = working_order(library, [one.procedure for one in plan])
    planned = {one.procedure: one for one in plan}
    names = [one.procedure for one in order if one.procedure in planned]
    places = {name: placements_of(library, vehicle.specs[name].placements) for name in names} if vehicle else {}
    area = area_needed(library, names)
    body = Body(library, vehicle, job["qualifiers"], [one.procedure for one in order], places, area, draw)
    return {
        "format": FORMAT,
        "job": job,
        "vehicle": (vehicle_of(vehicle) | approved(library, vehicle)) if vehicle else None,
        "calibrations": [calibration_of(library, vehicle, planned[name]) for name in names] if vehicle else [],
        "struck": [
            {"id": name, "title": one.title, "why": struck[name]}
            for name, one in library.procedures.items()
            if name in struck
        ],
        "sections": [section_of(library, one, names) for one in order],
        **in_unit(library.unit),
        "placements": places,
        "area": area,
        "steps": [step for one in order for step in body.steps(one)],
    }
