"""Made questions about the sums: readings that fit, that do not, and that lie on the very edge."""

from typing import Any

from hypothesis import reject
from hypothesis import strategies as some

from webapp.core.errors import BadInput
from webapp.core.measure.judged import PHYSICAL, judge
from webapp.core.measure.square import FRONT, REAR, TAPE_NAMES, Hubs, Pose, tapes_at


def decimals(low: float, high: float, places: int = 2) -> some.SearchStrategy[float]:
    """Numbers as people read them off: so many decimals and no more."""
    return some.integers(round(low * 10**places), round(high * 10**places)).map(lambda whole: whole / 10**places)


floats = (
    some.floats(-1e5, 1e5) | decimals(-100, 100) | some.sampled_from([0.0, -0.0, 1e-300, 2.5, -2.5, 0.25, 0.49999999])
)
fews = some.fixed_dictionaries(
    {
        "values": some.lists(decimals(1255, 1259, 1), min_size=1, max_size=32).map(
            lambda values: [*values, 1284.0] if len(values) % 3 else values
        ),
        "u": some.sampled_from([0.01, 0.4, 3.0, 12.0]),
        "freedom": some.integers(1, 1000),
    }
)
accuracies = some.fixed_dictionaries(
    {
        "kind": some.sampled_from(["tape", "inclinometer", "tyre-gauge"]),
        "shape": some.sampled_from(["rectangular", "triangular", "expanded"]),
        "half_width": decimals(0.01, 2),
        "per_m": some.sampled_from([0.0, 0.2]),
        "k": some.none() | decimals(1, 3),
        "reading": floats,
    }
)
sums = some.fixed_dictionaries({"values": some.lists(floats, min_size=2, max_size=12)})
writings = some.fixed_dictionaries({"value": floats, "decimals": some.integers(0, 3)})
tails = some.fixed_dictionaries({"x": some.floats(-30, 30) | some.sampled_from([0.0, 2.0, 26.5, 28.0])})
grid = some.tuples(some.integers(-4, 4), some.integers(-4, 4)).map(list)
places = grid | some.tuples(some.floats(-1e4, 1e4), some.floats(-1e4, 1e4)).map(list)
surroundings = some.fixed_dictionaries({"points": some.lists(places, min_size=3, max_size=12), "spot": places})


@some.composite
def decisions(draw: some.DrawFn) -> dict[str, Any]:
    """A value, now and then on the edge of its guard band."""
    u, low = draw(decimals(0.01, 2)), draw(decimals(-10, 10))
    high = round(low + draw(decimals(-1, 10)), 2)
    edge = draw(some.sampled_from([low, high])) + draw(some.sampled_from([-2, 0, 2])) * u
    kept = draw(some.sampled_from(["both", "both", "low", "high", "none"]))
    return {
        "value": draw(some.just(round(edge, 4)) | decimals(-15, 15)),
        "u": u,
        "low": low if kept in ("both", "low") else None,
        "high": high if kept in ("both", "high") else None,
        "u_instrument": draw(some.sampled_from([0.0, 0.5 / 3**0.5]) | decimals(0, 2)),
        "s": draw(some.floats(0, 3)),
    }


poses = some.fixed_dictionaries(
    {"distance_mm": decimals(600, 6000, 1), "offset_mm": decimals(-600, 600, 1), "yaw_deg": decimals(-8, 8)}
)
MISREAD_MM = [0.0, 0.0, 0.0, 0.0, 1.0, -6.0, 10.0, 100.0, -400.0, 3000.0]


hubs = some.sampled_from([FRONT, REAR])


def _tapes(draw: some.DrawFn, track_mm: float, bar_mm: float, pose: dict[str, float], by: Hubs) -> dict[str, float]:
    """The tapes of a pose, each read to half a millimetre or so, and now and then misread."""
    found = tapes_at(track_mm, bar_mm, Pose(**pose), by)
    off = {name: draw(some.sampled_from(MISREAD_MM)) if draw(some.integers(0, 3)) == 0 else 0.0 for name in TAPE_NAMES}
    return {name: round(2 * (getattr(found, name) + off[name])) / 2 for name in TAPE_NAMES}


@some.composite
def squarings(draw: some.DrawFn) -> dict[str, Any]:
    track_mm, bar_mm = draw(decimals(1200, 1900, 0)), draw(decimals(400, 2400, 0))
    u = draw(some.sampled_from([0.3, 1.0, 2.5]))
    by = draw(hubs)
    tapes = _tapes(draw, track_mm, bar_mm, draw(poses), by)
    return {
        "hubs": by,
        "track_mm": track_mm,
        "bar_mm": bar_mm,
        "tapes": tapes,
        "u": dict.fromkeys(TAPE_NAMES, u) | {"left_left": 1.0},
    }


stands = some.fixed_dictionaries(
    {"track_mm": decimals(1200, 1900, 0), "bar_mm": decimals(400, 2400, 0), "pose": poses, "hubs": hubs}
)


def _limits(draw: some.DrawFn, low: float, high: float) -> list[float | None]:
    ends = sorted([draw(decimals(low, high)), draw(decimals(low, high))])
    return draw(some.sampled_from([ends, ends, [ends[0], None], [None, ends[1]], [None, None]]))


def _typed(draw: some.DrawFn, values: dict[str, float]) -> dict[str, str]:
    """As typed, now and then with a comma, a unit that may be wrong, or a slip of the finger."""
    slips = [
        "{}",
        "{}",
        "{}",
        "{}",
        "{}",
        "{}",
        "{}",
        "{}",
        " {} ",
        "{} mm",
        "{} deg",
        "{}x",
        "",
        "nan",
        "-{}",
        "{}000",
    ]
    made = {name: str(value).replace(".", draw(some.sampled_from(",."))) for name, value in values.items()}
    wrong = draw(some.sampled_from([*made, *[None] * (3 * len(made))]))
    return {name: draw(some.sampled_from(slips)).format(text) if name == wrong else text for name, text in made.items()}


@some.composite
def value_steps(draw: some.DrawFn) -> dict[str, Any]:
    names = draw(some.lists(some.sampled_from(["tyre", "gap_left", "gap_right", "voltage"]), min_size=1, unique=True))
    unit = draw(some.sampled_from(sorted(PHYSICAL)))
    asked = [_reading(draw, name, unit) for name in names]
    compare = []
    if len(names) > 1:
        low, high = _limits(draw, -3, 3)
        compare = [{"label": "both", "of": names[:2], "low": low, "high": high, "unit": unit}]
    sets = draw(some.integers(1, 4))
    middle = {name: draw(decimals(0, 20)) for name in names}
    read = [{name: round(middle[name] + draw(decimals(-0.5, 0.5)), 2) for name in names} for _ in range(sets)]
    measure = {"method": "values", "readings": asked, "compare": compare}
    return {"measure": measure, "typed": [_typed(draw, values) for values in read]}


def _reading(draw: some.DrawFn, name: str, unit: str) -> dict[str, Any]:
    low, high = _limits(draw, 0, 20)
    instrument = draw(some.sampled_from([None, "tape", "scale", "inclinometer", "plumb-bob", "gauge"]))
    u = draw(some.none() | decimals(0.01, 1.5))
    by = {"code": "T1", "name": "Tape", "due": None, "accuracy": {"shape": "expanded", "half_width": 0.4, "per_m": 0.1}}
    by["accuracy"] |= {"k": draw(some.sampled_from([None, 2.0, 3.0]))}
    given = {"by": draw(some.sampled_from([None, by]))} if instrument == "tape" else {}
    return given | {
        "name": name,
        "label": name.title(),
        "unit": unit,
        "low": low,
        "high": high,
        "instrument": instrument,
        "u": u,
    }


@some.composite
def floor_steps(draw: some.DrawFn) -> dict[str, Any]:
    xy = some.tuples(some.integers(-3, 4), some.integers(-2, 2))
    at = draw(some.lists(xy, min_size=3, max_size=10, unique=True))
    spots = draw(some.lists(xy, max_size=2))
    points = [{"name": f"point-{n}", "label": "", "x_mm": x * 900, "y_mm": y * 875.5} for n, (x, y) in enumerate(at)]
    measure = {
        "method": "floor",
        "points": points,
        "spots": [{"x_mm": x * 900, "y_mm": y * 875.5, "name": f"spot-{n}"} for n, (x, y) in enumerate(spots)],
        "u_mm": draw(some.sampled_from([0.5, 1.0])),
        "limits": {name: _limits(draw, -5, 5) for name in draw(some.sets(some.sampled_from(SLOPES)))},
    }
    if draw(some.booleans()):
        at_tyres = [(0.0, 780.0), (0.0, -780.0), (-2800.0, 775.0), (-2800.0, -775.0)]
        measure["contacts"] = [{"name": f"tyre-{n}", "x_mm": x, "y_mm": y} for n, (x, y) in enumerate(at_tyres)]
    slope, crown = draw(decimals(-0.004, 0.004, 4)), draw(decimals(-2, 2))
    heights = {
        one["name"].replace("-", "_"): round(slope * one["x_mm"] + crown + draw(decimals(-1, 1)), 1)
        for one in [*points, *measure.get("contacts", [])]
    }
    return {"measure": measure, "typed": [_typed(draw, heights)]}


SLOPES = ["along_mm_per_m", "across_mm_per_m", "residual_mm"]


@some.composite
def square_steps(draw: some.DrawFn) -> dict[str, Any]:
    track_mm, bar_mm, target = draw(decimals(1200, 1900, 0)), draw(decimals(400, 2400, 0)), draw(poses)
    here = {
        "distance_mm": target["distance_mm"] + draw(decimals(-30, 30, 1)),
        "offset_mm": target["offset_mm"] + draw(decimals(-60, 60, 1)),
        "yaw_deg": target["yaw_deg"] + draw(decimals(-1, 1)),
    }
    limits = {
        name: [round(value - draw(decimals(0, 5)), 2), round(value + draw(decimals(0, 5)), 2)]
        for name, value in target.items()
    }
    by = draw(hubs)
    sets = [_tapes(draw, track_mm, bar_mm, here, by) for _ in range(draw(some.integers(1, 3)))]
    measure = {
        "method": "square",
        "track_mm": track_mm,
        "bar_mm": bar_mm,
        "u_mm": 1.0,
        "target": target,
        "limits": limits,
    }
    # A sheet says which hubs only where they are the rear ones.
    return {"measure": measure | ({"hubs": by} if by == REAR else {}), "sets": sets}


@some.composite
def typed_square_steps(draw: some.DrawFn) -> dict[str, Any]:
    step = draw(square_steps())
    return {"measure": step["measure"], "typed": [_typed(draw, tapes) for tapes in step["sets"]]}


@some.composite
def moves(draw: some.DrawFn) -> dict[str, Any]:
    """What a squaring found, as it stands in an event: mostly a stand that is a little off."""
    step = draw(square_steps())
    measure, readings = step["measure"], step["sets"]
    try:
        found = judge(measure, readings)
        return {"found": found, "target": measure["target"], "hubs": measure.get("hubs", FRONT)}
    except BadInput:
        reject()


@some.composite
def axis_steps(draw: some.DrawFn) -> dict[str, Any]:
    near = decimals(-40, 40, 1)
    corners = {"front_left": (0, 780), "front_right": (0, -780), "rear_left": (-2700, 775), "rear_right": (-2700, -775)}
    swapped = draw(some.sampled_from([1, 1, 1, 1, 1, -1]))
    values = {}
    for name, (x, y) in corners.items():
        values |= {f"{name}_x": x + draw(near), f"{name}_y": swapped * y + draw(near)}
    values |= {"toe_left": draw(decimals(-1, 1)), "toe_right": draw(decimals(-1, 1))}
    limits = draw(some.sampled_from([{}, {"thrust_deg": [-0.15, 0.15]}, {"thrust_deg": [-0.3, None]}]))
    return {"measure": {"method": "axis", "u_mm": 1.0, "limits": limits}, "typed": [_typed(draw, values)]}
