"""What a procedure measures and holds against limits: each place where a figure stands or is taken from a spec."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from pydantic_core import PydanticCustomError

from webapp.core.measure.reading import Range
from webapp.core.measure.square import BAR_MM, DISTANCE_MM, OFFSET_MM, TRACK_MM, YAW_DEG
from webapp.core.quantity import LARGEST, TOO_LARGE, Quantity
from webapp.library.read import Node

UNITS = {
    "along": "mm/m",
    "across": "mm/m",
    "residual": "mm",
    "distance": "mm",
    "offset": "mm",
    "yaw": "deg",
    "thrust": "deg",
    "track": "mm",
    "bar": "mm",
}
RANGES: dict[str, Range] = {
    "distance": DISTANCE_MM,
    "offset": OFFSET_MM,
    "yaw": YAW_DEG,
    "track": TRACK_MM,
    "bar": BAR_MM,
}
NEVER_NEGATIVE = {"s", "kPa", "lx", "V", "kg", "%", "km", "km/h"}


@dataclass(frozen=True)
class Held:
    """Limits (or one bare figure) as the file has them, the name by which a spec gives them, their unit and range."""

    node: Node
    name: str
    unit: str
    bare: bool = False
    difference: bool = False
    by_tape: bool = False

    @property
    def range(self) -> tuple[float, float]:
        """The least and the greatest value that can be measured, in the unit."""
        if self.name in RANGES:
            return RANGES[self.name].low, RANGES[self.name].high
        most = LARGEST.get(self.unit, float("inf"))
        never_negative = self.by_tape or (self.unit in NEVER_NEGATIVE and not self.difference)
        return (0 if never_negative else -most), most


def held(procedure: Node) -> Iterator[Held]:
    """Yield everything in a procedure that is, or takes, a figure to measure against."""
    for step in procedure.at("steps").items:
        measure = step.at("measure")
        units = {one.at("name").text: one.at("unit").text for one in measure.at("readings").items}
        for reading in measure.at("readings").items:
            if "limits" in reading.fields:
                name, unit = reading.at("name").text, reading.at("unit").text
                yield Held(reading.at("limits"), name, unit, by_tape=reading.at("instrument").text == "tape")
        for compare in measure.at("compare").items:
            first = compare.at("of", 0).text
            if "limits" in compare.fields:
                yield Held(compare.at("limits"), first, units.get(first, ""), difference=True)
        for name, limits in measure.at("limits").fields.items():
            if name in UNITS:
                yield Held(limits, name, UNITS[name])
        yield from (
            Held(measure.at(name), name, "mm", bare=True) for name in ("track", "bar") if name in measure.fields
        )


def figure_taken(node: Node, name: str) -> str | None:
    """Return the name of the spec's figure that is taken here (`name` where none is said); None where none is."""
    found = re.fullmatch(r"spec(?:\.([a-z][a-z0-9-]*))?", node.text)
    return (found[1] or name) if found else None


def quantity(node: Node) -> Quantity | None:
    """Return the quantity that stands here; None where there is none, or none that reads (which has its finding).

    One that is more than can be reads all the same: whether it is in the right unit is to be said first.
    """
    try:
        return Quantity.parse(node.value)
    except PydanticCustomError as error:
        held = error.context or {}
        return Quantity(held["value"], held["unit"], node.text) if error.type == TOO_LARGE else None
