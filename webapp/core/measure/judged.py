"""A measure step's readings against its limits: which fields it has, what they give, and the verdict on the whole.

`judge` returns {"method", "verdict", "parts"} and what the method itself found; each part has "name", "label", "unit",
"value", "U", "low", "high" and "verdict". The verdict is the worst of the parts: outside before too close to call
before inside; without limits it is `recorded`, and four tapes that do not fit together are `does-not-fit`.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict
from math import sqrt
from typing import Any

from ..lengths import MM
from ..numbers import rounded
from .advice import advise, square_with_repeats
from .axis import TOE_DEG, Axle, Point, RearToe, reference_axis
from .decide import decide, repeats_to_settle
from .equip import TAPE
from .floor import BAY_MM, HEIGHT_MM, FloorPoint, Spot, SpotHeight, survey_floor
from .height import stand_height
from .instruments import INSTRUMENTS, combined, instrument_of, repeated
from .outlier import odd_one
from .reading import Range, read, read_exact
from .square import FRONT, TAPE_MM, TAPE_NAMES, Pose, Tapes, square_stand
from .student import widening
from .verdicts import WORST_FIRST

Measure = Mapping[str, Any]
Readings = Mapping[str, float]
Found = dict[str, Any]

REPEATABLE = ("values", "square")
"""The methods of which several readings of the same thing make one better one."""

# What can be physically true, by unit; a method with narrower bounds has its own.
PHYSICAL = {
    "mm": Range("mm", -30_000, 30_000),
    "deg": Range("deg", -180, 180),
    "kPa": Range("kPa", 0, 1_200),
    "mm/m": Range("mm/m", -200, 200),
    "lx": Range("lx", 0, 200_000),
    "V": Range("V", 0, 1_000),
    "degC": Range("degC", -60, 120),
    "%": Range("%", 0, 100),
    "km": Range("km", 0, 5_000_000),
    "kg": Range("kg", 0, 10_000),
    "s": Range("s", 0, 86_400),
    "km/h": Range("km/h", 0, 400),
}
TAPED_MM = Range("mm", 0, 30_000)  # a tape has no figures on the other side of its hook; a sign is a slip of the finger
AXIS_POINTS = ("front_left", "front_right", "rear_left", "rear_right")


def fields(measure: Measure) -> list[tuple[str, str, Range]]:
    """The readings to take, in order: (name, label or "" where the name says it, unit and physical range)."""
    method = measure["method"]
    if method == "values":
        return [(one["name"], one["label"], _physical(one)) for one in measure["readings"]]
    if method == "floor":
        points = [(one["name"].replace("-", "_"), one["label"], HEIGHT_MM) for one in measure["points"]]
        return points + [(one["name"].replace("-", "_"), "", HEIGHT_MM) for one in measure.get("contacts", [])]
    if method == "square":
        return [(name, "", TAPE_MM) for name in TAPE_NAMES]
    points = [(f"{name}_{axis}", "", BAY_MM) for name in AXIS_POINTS for axis in ("x", "y")]
    return [*points, ("toe_left", "", TOE_DEG), ("toe_right", "", TOE_DEG)]


def _physical(one: Mapping[str, Any]) -> Range:
    return TAPED_MM if (one["unit"], one["instrument"]) == ("mm", "tape") else PHYSICAL[one["unit"]]


def read_all(measure: Measure, given: Mapping[str, str]) -> dict[str, float]:
    """Every reading as a number in its unit. Raises BadInput naming the first field that cannot be used."""
    unit = measure.get("unit", MM)
    return {name: read(given.get(name, ""), name, quantity, unit) for name, _label, quantity in fields(measure)}


def judge(measure: Measure, sets: Sequence[Readings]) -> Found:
    """The verdict on the last set of readings; earlier ones are its repeats."""
    found = _METHODS[measure["method"]](measure, sets)
    verdicts = [part["verdict"] for part in found["parts"]]
    found.setdefault("verdict", min(verdicts, key=WORST_FIRST.index, default="recorded"))
    return {"method": measure["method"], "sets": len(sets), **found}


def _part(
    name: str,
    label: str,
    unit: str,
    value: float,
    u: float,
    limits: Sequence[float | None],
    repeats: tuple[float, float] | None = None,
) -> Found:
    """One figure against its limits; `repeats` is the instrument's own u and the scatter s, where both are known."""
    low, high = limits
    part: Found = {
        "name": name,
        "label": label,
        "unit": unit,
        "value": value,
        "U": 2 * u,
        "low": low,
        "high": high,
        "verdict": "recorded",
    }
    if low is None and high is None:
        return part
    exact = [None if one is None else read_exact(one, name, Range("", -1e9, 1e9)) for one in (value, u, low, high)]
    decision = decide(exact[0] or 0, exact[1] or 0, exact[2], exact[3])
    part |= {"verdict": decision.verdict, "p_inside": decision.p_inside}
    if decision.verdict == "too-close-to-call" and repeats is not None:
        # The instrument's part alone: in `u` the scatter is in already, as far as the readings so far have averaged it.
        part["repeats"] = repeats_to_settle(exact[0] or 0, *repeats, exact[2], exact[3])
    return part


def _instrument_u(one: Mapping[str, Any], value: float) -> float:
    """The shop's own instrument comes first, then what the procedure says, then the usual figures of its kind."""
    if by := one.get("by"):
        return instrument_of(one["instrument"], by["accuracy"]).u(value)
    if one["u"] is not None:
        return float(one["u"])
    kind = {"tape": "tape-class-ii"}.get(one["instrument"], one["instrument"])
    # Without an instrument named, the last digit that a person reads off is all that is known: half a unit either way.
    return INSTRUMENTS[kind].u(value) if kind in INSTRUMENTS else 0.5 / sqrt(3)


def _values(measure: Measure, sets: Sequence[Readings]) -> Found:
    parts, instrument_u, odd = [], {}, {}
    for one in measure["readings"]:
        name, series = one["name"], [float(readings[one["name"]]) for readings in sets]
        floor = one.get("floor")
        own_u = _instrument_u(one, series[-1])
        instrument_u[name] = combined([own_u, floor["u_mm"]]) if floor else own_u
        left_out = odd[name] = odd_one(series, instrument_u[name])
        kept = [value for place, value in enumerate(series) if place != left_out]
        part = _mean_part(one, name, kept, instrument_u[name])
        if left_out is not None:
            part |= {"left_out": series[left_out], "left_out_no": left_out + 1}
        if floor:
            part["floor"] = floor
        if one.get("by"):
            part["by"] = _named(one["by"])
        parts.append(part)
    for one in measure["compare"]:
        first, second = one["of"]
        # Set by set, so that what shifts both readings of a set alike shifts their difference not at all.
        kept = [
            rounded(readings[first] - readings[second], 9)
            for place, readings in enumerate(sets)
            if place not in (odd[first], odd[second])
        ]
        parts.append(_mean_part(one, "-".join(one["of"]), kept, combined([instrument_u[first], instrument_u[second]])))
    return {"parts": parts}


def _mean_part(one: Mapping[str, Any], name: str, series: Sequence[float], u_instrument: float) -> Found:
    """The mean of repeats against its limits: u from the instrument (type B) and from the repeats (type A, s/√n)."""
    limits = (one["low"], one["high"])
    if len(series) < 2:
        return _part(name, one["label"], one["unit"], series[0], u_instrument, limits)
    spread = repeated(series)
    u = combined([u_instrument, spread.u * widening(spread.count - 1)])
    part = _part(name, one["label"], one["unit"], spread.mean, u, limits, (u_instrument, spread.s))
    return part | {"n": spread.count, "s": spread.s}


def _floor(measure: Measure, sets: Sequence[Readings]) -> Found:
    readings = sets[-1]
    points = [FloorPoint(one["x_mm"], one["y_mm"], readings[_key(one)]) for one in measure["points"]]
    survey = survey_floor(points, [Spot(one["x_mm"], one["y_mm"]) for one in measure["spots"]], measure["u_mm"])
    plane, s = survey.plane, survey.s_mm
    slopes = {
        "along_mm_per_m": (plane.along_mm_per_m, 1000 * s * sqrt(plane.spread[0])),
        "across_mm_per_m": (plane.across_mm_per_m, 1000 * s * sqrt(plane.spread[2])),
        "residual_mm": (survey.largest_residual_mm, measure["u_mm"]),
    }
    units = {"along_mm_per_m": "mm/m", "across_mm_per_m": "mm/m", "residual_mm": "mm"}
    limits = measure["limits"]
    parts = [
        _part(name, "", units[name], value, u, limits.get(name, (None, None))) for name, (value, u) in slopes.items()
    ]
    contacts = [FloorPoint(one["x_mm"], one["y_mm"], readings[_key(one)]) for one in measure.get("contacts", [])]
    heights = [
        {key: spot[key] for key in ("name", "x_mm", "y_mm")}
        | asdict(height)
        | (_fall(contacts, spot, height, measure["u_mm"]) if contacts else {})
        for spot, height in zip(measure["spots"], survey.spots, strict=True)
    ]
    return {
        "parts": parts,
        "a_mm": plane.a_mm,
        "rms_mm": survey.rms_mm,
        "residuals_mm": list(survey.residuals_mm),
        "spots": heights,
    }


def _fall(contacts: Sequence[FloorPoint], spot: Mapping[str, Any], floor: SpotHeight, u_mm: float) -> Found:
    """How far the floor at a spot lies below the plane that the tyres stand on."""
    found = stand_height(0.0, contacts, Spot(spot["x_mm"], spot["y_mm"]), floor, u_mm)
    return {"fall_mm": found.fall_mm, "u_fall_mm": found.u_mm}


def _key(one: Mapping[str, Any]) -> str:
    return str(one["name"]).replace("-", "_")


def _square(measure: Measure, sets: Sequence[Readings]) -> Found:
    track, bar, by = measure["track_mm"], measure["bar_mm"], measure.get("by")
    hubs = measure.get("hubs", FRONT)
    series = [Tapes(*(readings[name] for name in TAPE_NAMES)) for readings in sets]
    u = _tapes_u(measure, series[0])
    odd = None
    if len(series) > 1:
        found, odd = square_with_repeats(track, bar, series[0], u, series[1:], hubs)
    else:
        found = square_stand(track, bar, series[0], u, hubs)
    target = Pose(**measure["target"])
    made: Found = {
        "parts": [],
        "fits": found.fits,
        "misfit": found.misfit,
        "advice": list(advise(track, bar, found, target, hubs)),
    }
    if measure.get("track_measured"):
        made["track_mm"] = track
    if odd:
        made |= {"odd_one_out": odd.tape, "odd_reason": odd.reason}
    if found.pose is None or found.u is None:
        return made | {"verdict": "does-not-fit"}
    pose, spread = asdict(found.pose), asdict(found.u)
    made |= {"pose": pose, "u": spread}
    for name, unit in (("distance_mm", "mm"), ("offset_mm", "mm"), ("yaw_deg", "deg")):
        part = _part(name, "", unit, pose[name], spread[name], measure["limits"].get(name, (None, None)))
        made["parts"].append(part | ({"by": _named(by)} if by else {}))
    return made


def _tapes_u(measure: Measure, read_mm: Tapes) -> Tapes:
    """How sure each of the four is: by the shop's own tape, which is the less sure the longer it is drawn."""
    if not measure.get("by"):
        return Tapes(*[measure["u_mm"]] * 4)
    tape = instrument_of(TAPE, measure["by"]["accuracy"])
    return Tapes(*(tape.u(getattr(read_mm, name)) for name in TAPE_NAMES))


def _named(by: Mapping[str, Any]) -> Found:
    return {key: by[key] for key in ("code", "name", "due")}


def _axis(measure: Measure, sets: Sequence[Readings]) -> Found:
    readings = sets[-1]
    corner = {name: Point(readings[f"{name}_x"], readings[f"{name}_y"]) for name in AXIS_POINTS}
    axis = reference_axis(
        Axle(corner["front_left"], corner["front_right"]),
        Axle(corner["rear_left"], corner["rear_right"]),
        RearToe(readings["toe_left"], readings["toe_right"]),
    )
    # Half of the difference of two toe readings, each good to 0.05 degrees on an alignment bench.
    u_thrust = 0.05 / sqrt(3) / sqrt(2)
    parts = [
        _part(
            "thrust_deg", "", "deg", axis.thrust_deg or 0.0, u_thrust, measure["limits"].get("thrust_deg", (None, None))
        )
    ]
    return {
        "parts": parts,
        "centreline_deg": axis.centreline_deg,
        "thrust_line_deg": axis.thrust_line_deg,
        "origin": asdict(axis.origin),
    }


_METHODS: dict[str, Callable[[Measure, Sequence[Readings]], Found]] = {
    "values": _values,
    "floor": _floor,
    "square": _square,
    "axis": _axis,
}
