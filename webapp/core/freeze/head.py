"""What a sheet says before its steps: the vehicle, the calibrations, the sections, and where the targets stand."""

from collections.abc import Iterable
from typing import Any

from ..plan import Proposal
from ..procedure import Library, Pair, Placement, Procedure, Vehicle
from ..quantity import Quantity


def vehicle_of(vehicle: Vehicle) -> dict[str, Any]:
    outline = {f"{field}_mm": held.value for field, held in vehicle.outline}
    return {
        "id": vehicle.vehicle,
        "maker": vehicle.maker,
        "model": vehicle.model,
        "revision": vehicle.revision,
        "outline": outline,
    }


def approved(library: Library, vehicle: Vehicle) -> dict[str, Any]:
    """Of a shop's own vehicle, who approved its figures; nothing of one that ships with the library."""
    found = library.approvals.get(vehicle.vehicle)
    return {"approved": found.model_dump()} if found else {}


def calibration_of(library: Library, vehicle: Vehicle, one: Proposal) -> dict[str, Any]:
    procedure, spec = library.procedures[one.procedure], vehicle.specs[one.procedure]
    return {
        "id": one.procedure,
        "title": procedure.title,
        "sensor": procedure.sensor,
        "mode": procedure.mode,
        "because": list(one.because),
        "added": one.added,
        "procedure_revision": procedure.revision,
        "spec_revision": spec.revision,
        "source": spec.source,
        "reference": spec.reference,
    }


def section_of(library: Library, one: Procedure, calibrations: list[str]) -> dict[str, Any]:
    if one.sort == "calibration":
        serves = [one.procedure]
    elif one.sort == "set-up":
        serves = [name for name in calibrations if one.procedure in library.procedures[name].set_up]
    else:
        serves = list(calibrations)
    return {"id": one.procedure, "title": one.title, "sort": one.sort, "revision": one.revision, "calibrations": serves}


def placements_of(library: Library, placements: Iterable[Placement]) -> list[dict[str, Any]]:
    def value(held: Quantity | None) -> float | None:
        return None if held is None else held.value

    return [
        {
            **pair_of(library, Pair(target=one.target, spot=one.spot)),
            "x_mm": one.x.value,
            "y_mm": one.y.value,
            "height_mm": value(one.height),
            "yaw_deg": value(one.yaw),
            "size_mm": [size["width"].value, size["height"].value]
            if len(size := library.catalogue.targets[one.target].size) == 2
            else None,
        }
        for one in placements
    ]


def pair_of(library: Library, pair: Pair) -> dict[str, Any]:
    targets, spots = library.catalogue.targets, library.catalogue.spots
    return {
        "target": pair.target,
        "target_name": targets[pair.target].name if pair.target else None,
        "spot": pair.spot,
        "spot_name": spots[pair.spot].name if pair.spot else None,
    }
