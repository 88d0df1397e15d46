"""How far this very vehicle's hub marks lie apart, as they were measured, for the sum that squares a stand to them.

The spec's track has a tolerance, and marks within it may lie some millimetres farther apart than it says. Four tapes
that each tell the truth do not fit together if that is left out: the wider the pair, the sooner.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from .square import FRONT, TRACK_MM

Measure = Mapping[str, Any]


def tells_spacing(measure: Measure) -> bool:
    """Whether it reads how far hub marks lie apart."""
    return any("hubs" in one for one in measure.get("readings", []))


def spacings(measured: Sequence[tuple[Measure, Mapping[str, Any]]]) -> dict[str, float]:
    """Return the hubs whose marks' distance was read, with it in mm.

    measured: measurements that stand, in the order of the steps, each with what was found; a later one counts.
    """
    found: dict[str, float] = {}
    for measure, was in measured:
        named = {one["name"]: one["hubs"] for one in measure.get("readings", []) if "hubs" in one}
        values = {part["name"]: part["value"] for part in was["parts"] if part["name"] in named}
        found |= {named[name]: value for name, value in values.items() if TRACK_MM.low <= value <= TRACK_MM.high}
    return found


def spaced(measure: Measure, apart_mm: Mapping[str, float]) -> Measure:
    """The measurement by the method `square` with its hub marks as far apart as they were measured, where they were."""
    apart = apart_mm.get(measure.get("hubs", FRONT))
    if measure["method"] != "square" or apart is None:
        return measure
    return {**measure, "track_mm": apart, "track_measured": True}
