"""What a measure step asks for, with the vehicle's own figures in place of references to them."""

from typing import Any

from ..figures import Figures, centre, interval, number
from ..procedure import Measure, Reading

UNITS = {
    "along": "mm_per_m",
    "across": "mm_per_m",
    "residual": "mm",
    "distance": "mm",
    "offset": "mm",
    "yaw": "deg",
    "thrust": "deg",
}


def measure_of(measure: Measure, figures: Figures, spots: list[dict[str, Any]]) -> dict[str, Any]:
    """`spots` are the places of the job's targets, which a floor survey gives the heights of."""
    if measure.method == "values":
        readings = [_reading(one, figures) for one in measure.readings]
        return {"method": "values", "readings": readings, "compare": _compare(measure, figures)}
    made: dict[str, Any] = {
        "method": measure.method,
        "u_mm": measure.u.value if measure.u else 1.0,
        "limits": {
            f"{name}_{UNITS[name]}": list(interval(limits, name, figures)) for name, limits in measure.limits.items()
        },
    }
    if measure.method == "floor":
        made |= {"points": points_of(measure), "spots": spots}
    if measure.method == "square":
        aim = {
            f"{name}_{UNITS[name]}": centre(measure.limits.get(name), name, figures)
            for name in ("distance", "offset", "yaw")
        }
        track, bar = number(measure.track, "track", figures), number(measure.bar, "bar", figures)
        made |= {"track_mm": track, "bar_mm": bar, "target": aim}
    return made


def points_of(measure: Measure) -> list[dict[str, Any]]:
    return [{"name": one.name, "label": one.label, "x_mm": one.x.value, "y_mm": one.y.value} for one in measure.points]


def _reading(one: Reading, figures: Figures) -> dict[str, Any]:
    low, high = interval(one.limits, one.name, figures)
    return {
        "name": _key(one.name),
        "label": one.label,
        "unit": one.unit,
        "low": low,
        "high": high,
        "instrument": one.instrument,
        "u": one.u.value if one.u else None,
    }


def _compare(measure: Measure, figures: Figures) -> list[dict[str, Any]]:
    unit = {one.name: one.unit for one in measure.readings}
    made = []
    for one in measure.compare:
        low, high = interval(one.limits, one.of[0], figures)
        of = [_key(name) for name in one.of]
        made.append({"label": one.label, "of": of, "low": low, "high": high, "unit": unit[one.of[0]]})
    return made


def _key(name: str) -> str:
    return name.replace("-", "_")
