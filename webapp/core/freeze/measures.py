"""What a measure step asks for, with the vehicle's own figures in place of references to them."""

from collections.abc import Iterable
from math import fsum
from typing import Any

from ..figures import Figures, centre, interval, number, source_of
from ..measure.square import REAR
from ..procedure import Measure, Reading

Place = dict[str, Any]

STAND = "stand"
"""Instead of a spot: the middle of all that this calibration places, where a stand's own scale stands."""

UNITS = {
    "along": "mm_per_m",
    "across": "mm_per_m",
    "residual": "mm",
    "distance": "mm",
    "offset": "mm",
    "yaw": "deg",
    "thrust": "deg",
}


def measure_of(
    measure: Measure, figures: Figures, spots: list[Place], places: list[Place], outline: dict[str, float] | None
) -> dict[str, Any]:
    """`spots` are the places of the job's targets, which a floor survey gives the heights of, `places` those of this
    calibration; `outline` is the vehicle's.
    """
    if measure.method == "values":
        readings = [_reading(one, figures) | _above(one, places) for one in measure.readings]
        return {"method": "values", "readings": readings, "compare": _compare(measure, figures)}
    made: dict[str, Any] = {
        "method": measure.method,
        "u_mm": measure.u.value if measure.u else 1.0,
        "limits": {
            f"{name}_{UNITS[name]}": list(interval(limits, name, figures)) for name, limits in measure.limits.items()
        },
    }
    made["from"] = {
        f"{name}_{UNITS[name]}": source_of(limits, name, figures) for name, limits in measure.limits.items()
    }
    if measure.method == "floor":
        made |= {"points": points_of(measure), "spots": spots}
        if measure.contacts and outline:
            made["contacts"] = contacts_of(outline)
    if measure.method == "square":
        aim = {
            f"{name}_{UNITS[name]}": centre(measure.limits.get(name), name, figures)
            for name in ("distance", "offset", "yaw")
        }
        track, bar = number(measure.track, "track", figures), number(measure.bar, "bar", figures)
        made |= {"track_mm": track, "bar_mm": bar, "target": aim}
        if measure.hubs == REAR:  # said only there, so that the name of a sheet without it stays as it was
            made["hubs"] = REAR
    return made


def points_of(measure: Measure) -> list[dict[str, Any]]:
    return [{"name": one.name, "label": one.label, "x_mm": one.x.value, "y_mm": one.y.value} for one in measure.points]


def contacts_of(outline: dict[str, float]) -> list[Place]:
    """Where the four tyres touch the floor."""
    rear_mm = -outline["wheelbase_mm"]
    return [
        {"name": f"tyre-{axle}-{side}", "x_mm": x_mm, "y_mm": hand * outline[f"track_{axle}_mm"] / 2}
        for axle, x_mm in (("front", 0.0), ("rear", rear_mm))
        for side, hand in (("left", 1), ("right", -1))
    ]


def spots_of(groups: Iterable[list[Place]]) -> list[Place]:
    """The places that a floor survey tells the height of: each target's, and the middle of those of one calibration."""
    groups = list(groups)
    placed = [{"x_mm": one["x_mm"], "y_mm": one["y_mm"], "name": one["spot_name"]} for group in groups for one in group]
    return placed + [{**middle_of(group), "name": STAND} for group in groups if len(group) > 1]


def middle_of(places: list[Place]) -> dict[str, float]:
    return {name: fsum(one[name] for one in places) / len(places) for name in ("x_mm", "y_mm")}


def _above(one: Reading, places: list[Place]) -> dict[str, Any]:
    """Where the floor is that the height is read from; nothing where this vehicle's spec places nothing there."""
    found = [place for place in places if one.above in (place["spot"], STAND)]
    return {"above": middle_of(found)} if found else {}


def _reading(one: Reading, figures: Figures) -> dict[str, Any]:
    low, high = interval(one.limits, one.name, figures)
    hubs = {"hubs": one.between_hubs} if one.between_hubs else {}
    return {
        "name": _key(one.name),
        "label": one.label,
        "unit": one.unit,
        "low": low,
        "high": high,
        "instrument": one.instrument,
        "u": one.u.value if one.u else None,
        "from": source_of(one.limits, one.name, figures),
        **hubs,
    }


def _compare(measure: Measure, figures: Figures) -> list[dict[str, Any]]:
    unit = {one.name: one.unit for one in measure.readings}
    made = []
    for one in measure.compare:
        low, high = interval(one.limits, one.of[0], figures)
        of = [_key(name) for name in one.of]
        found = {"label": one.label, "of": of, "low": low, "high": high, "unit": unit[one.of[0]]}
        made.append(found | {"from": source_of(one.limits, one.of[0], figures)})
    return made


def _key(name: str) -> str:
    return name.replace("-", "_")
