"""What instruments might have shown: readings near the middle of their limits, in the digits a person writes down."""

from collections.abc import Mapping
from random import Random
from typing import Any

from webapp.core.errors import BadInput
from webapp.core.measure import judged
from webapp.core.measure.square import FRONT, TAPE_NAMES, Pose, tapes_at
from webapp.core.measure.verdicts import SETTLES_STEP

Measure = Mapping[str, Any]
Readings = dict[str, float]

DIGITS = {"mm": 0, "kPa": 0, "lx": 0, "deg": 1, "V": 1, "degC": 0, "%": 0, "mm/m": 1, "km": 0, "kg": 0}
USUAL = {"kPa": 240.0, "lx": 620.0, "V": 12.6, "degC": 20.0, "%": 60.0, "kg": 40.0}
"""A fair figure where the sheet states no limits."""

FIRST_SCATTER = 0.5
SCATTERS = (0.4, 0.2, 0.1, 0.0)
"""How much of the usual scatter is tried, one after the other, until the readings are inside."""


def readings_first(measure: Measure, dice: Random) -> dict[str, str]:
    """Return readings as a person types them: inside mostly, and where limits are narrow not always."""
    return _typed(measure, readings(measure, dice, FIRST_SCATTER))


def readings_inside(measure: Measure, dice: Random) -> dict[str, str]:
    """Return readings as a person types them, inside the limits wherever the limits leave room for that."""
    typed: dict[str, str] = {}
    for scatter in SCATTERS:
        typed = _typed(measure, readings(measure, dice, scatter))
        if _verdict(measure, typed) in SETTLES_STEP:
            break
    return typed


def readings_askew(measure: Measure, dice: Random) -> dict[str, str]:
    """Return the four tapes of a stand that is not yet where it belongs."""
    target = Pose(**measure["target"])
    here = Pose(target.distance_mm + dice.gauss(0, 12), target.offset_mm + dice.gauss(0, 14), dice.gauss(0, 0.8))
    return _typed(measure, _tapes(measure, here, dice, 0.3))


def readings(measure: Measure, dice: Random, scatter: float) -> Readings:
    return _METHODS[measure["method"]](measure, dice, scatter)


def _values(measure: Measure, dice: Random, scatter: float) -> Readings:
    # Hub marks lie where the vehicle's track puts them: the tapes of a later step start from there.
    found = {
        one["name"]: _near(one["low"], one["high"], one["unit"], dice, 0.0 if "hubs" in one else scatter)
        for one in measure["readings"]
    }
    for one in measure["compare"]:
        # The second of two that are compared is read beside the first, not on its own.
        found[one["of"][1]] = found[one["of"][0]] - _near(one["low"], one["high"], "", dice, scatter)
    return found


def _near(low: float | None, high: float | None, unit: str, dice: Random, scatter: float) -> float:
    if low is None and high is None:
        return USUAL.get(unit, 0.0) * (1 + 0.05 * scatter * dice.gauss(0, 1))
    if low is None or high is None:
        if high is not None:
            return high * (0.45 + 0.1 * scatter * dice.random())
        above = _above(low or 0.0, dice, scatter)
        return min(above, 100.0) if unit == "%" else above
    return (low + high) / 2 + (high - low) / 2 * 0.25 * scatter * dice.gauss(0, 1)


def _above(low: float, dice: Random, scatter: float) -> float:
    return low + abs(low) * (0.2 + 0.1 * scatter * dice.random())


def _floor(measure: Measure, dice: Random, scatter: float) -> Readings:
    along, across = dice.gauss(0, 0.5) * scatter, dice.gauss(0, 0.6) * scatter
    return {
        one["name"].replace("-", "_"): 2.0
        + (along * one["x_mm"] + across * one["y_mm"]) / 1000
        + dice.gauss(0, 0.3) * scatter
        for one in [*measure["points"], *measure.get("contacts", [])]
    }


def _square(measure: Measure, dice: Random, scatter: float) -> Readings:
    target = Pose(**measure["target"])
    here = Pose(
        target.distance_mm + dice.gauss(0, 0.8) * scatter,
        target.offset_mm + dice.gauss(0, 0.8) * scatter,
        target.yaw_deg + dice.gauss(0, 0.02) * scatter,
    )
    return _tapes(measure, here, dice, 0.3 * scatter)


def _tapes(measure: Measure, pose: Pose, dice: Random, noise_mm: float) -> Readings:
    tapes = tapes_at(measure["track_mm"], measure["bar_mm"], pose, measure.get("hubs", FRONT))
    return {name: getattr(tapes, name) + dice.gauss(0, noise_mm) for name in TAPE_NAMES}


def _axis(_measure: Measure, dice: Random, scatter: float) -> Readings:
    found = {}
    for name, x_mm, y_mm in (
        ("front_left", 0.0, 780.0),
        ("front_right", 0.0, -780.0),
        ("rear_left", -2800.0, 775.0),
        ("rear_right", -2800.0, -775.0),
    ):
        found[f"{name}_x"] = x_mm + dice.gauss(0, 1.5) * scatter
        found[f"{name}_y"] = y_mm + dice.gauss(0, 1.5) * scatter
    return found | {f"toe_{side}": 0.1 + dice.gauss(0, 0.03) * scatter for side in ("left", "right")}


_METHODS = {"values": _values, "floor": _floor, "square": _square, "axis": _axis}


def _typed(measure: Measure, found: Readings) -> dict[str, str]:
    """As few digits as a person writes; one more where the limits are too narrow for that."""
    units = {name: allowed.unit for name, _label, allowed in judged.fields(measure)}
    extra = 0 if measure["method"] == "square" else 1
    digits = {
        name: max(DIGITS.get(unit, 1), extra if unit == "mm" and abs(found[name]) < 50 else 0)
        for name, unit in units.items()
    }
    # Where a number alone is one of inches, what is read in mm says so.
    said = {name: " mm" if unit == "mm" and "unit" in measure else "" for name, unit in units.items()}
    return {name: f"{found[name]:.{digits[name]}f}{said[name]}" for name in units}


def _verdict(measure: Measure, typed: Mapping[str, str]) -> str:
    try:
        return str(judged.judge(measure, [judged.read_all(measure, typed)])["verdict"])
    except BadInput:
        return "refused"
