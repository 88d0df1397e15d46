"""The sums and rules behind ``baybook compute METHOD``: one JSON object in, one JSON object out, nothing else touched.

Each reads its object strictly (unknown keys are refused, the nearest known one is named) and answers in plain dicts
with units in their keys. A refusal is a BaybookError, the same that the page shows.
"""

import json
from collections.abc import Callable, Iterable, Iterator
from dataclasses import asdict
from typing import Any

from .errors import BadInput, BaybookError, NotFound, shown
from .fields import Fields
from .kit import Kit
from .labels import read_label
from .measure import area, axis, decide, floor, height, judged, square
from .measure.advice import advise, square_with_repeats
from .measure.reading import read
from .scan import scan_verdict
from .scan_sentence import sentence
from .vin import read_vin

MOST_PAIRS = 200
MOST_REPEATED_SETS = 20
REPEATED = ("value", "U", "n", "s", "left_out", "left_out_no", "verdict", "p_inside", "repeats")
POSE = ("distance_mm", "offset_mm", "yaw_deg")
Answer = dict[str, Any]


def compute(method: str, given: object) -> Answer:
    """Return the method's answer. Raises NotFound for an unknown method and BadInput for what it cannot use."""
    _check_method(method)
    return METHODS[method](given)


def compute_lines(method: str, lines: Iterable[str], today: str | None = None) -> Iterator[tuple[str, bool]]:
    """Yield for each JSON line an output line and whether it was refused. Blank lines are passed over.

    today: YYYY-MM-DD for scans that do not state their own day, since nothing here reads a clock.
    Raises NotFound for an unknown method, before the first line is read.
    """
    _check_method(method)
    defaults = {"today": today} if method == "scan" else {}
    for line in lines:
        if line.strip("\ufeff \t\r\n"):
            yield _answered(method, line.lstrip("\ufeff"), defaults)


def _check_method(method: str) -> None:
    if method not in METHODS:
        known = ", ".join(METHODS)
        raise NotFound("unknown-method", "method", f"method={shown(method)} must be one of {known}")


def _answered(method: str, line: str, defaults: dict[str, Any]) -> tuple[str, bool]:
    try:
        given = _parsed(line)
        answer = compute(method, defaults | given if isinstance(given, dict) else given)
    except BaybookError as error:
        return json.dumps(error.as_dict()), True
    return json.dumps(answer, allow_nan=False), False


def _parsed(line: str) -> Any:
    """Return the line's value. NaN and Infinity pass here, so that the field they stand in can be named."""
    try:
        return json.loads(line, object_pairs_hook=_no_key_twice)
    except (ValueError, RecursionError) as error:
        message = f"line={shown(line.strip())} must be one JSON object: {error}"
        raise BadInput("invalid-json", "line", message) from error


def _no_key_twice(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    made = dict(pairs)
    if len(made) < len(pairs):
        keys = [key for key, _ in pairs]
        twice = next(key for key in keys if keys.count(key) > 1)
        raise BadInput("key-twice", twice, f"{twice} is given twice in one object: give it once")
    return made


def _floor(given: object) -> Answer:
    fields = Fields(given, "", ("points", "u_mm"), ("spots",))
    points = [
        floor.FloorPoint(
            one.number("x_mm", floor.BAY_MM), one.number("y_mm", floor.BAY_MM), one.number("height_mm", floor.HEIGHT_MM)
        )
        for one in fields.each("points", floor.MOST_POINTS, ("x_mm", "y_mm", "height_mm"))
    ]
    spots = [
        floor.Spot(one.number("x_mm", floor.BAY_MM), one.number("y_mm", floor.BAY_MM))
        for one in fields.each("spots", floor.MOST_POINTS, ("x_mm", "y_mm"))
    ]
    survey = floor.survey_floor(points, spots, fields.number("u_mm", floor.FLOOR_U_MM))
    return {
        "a_mm": survey.plane.a_mm,
        "along_mm_per_m": survey.plane.along_mm_per_m,
        "across_mm_per_m": survey.plane.across_mm_per_m,
        "residuals_mm": list(survey.residuals_mm),
        "rms_mm": survey.rms_mm,
        "spots": [asdict(spot) for spot in survey.spots],
    }


def _square(given: object) -> Answer:
    fields = Fields(given, "", ("track_mm", "bar_mm", "tapes_mm", "u_mm"), ("target", "repeats", "hubs"))
    track, bar = fields.number("track_mm", square.TRACK_MM), fields.number("bar_mm", square.BAR_MM)
    tapes, u = _tapes(fields.inner("tapes_mm", square.TAPE_NAMES), square.TAPE_MM), _tape_u(fields)
    repeats = fields.each("repeats", MOST_REPEATED_SETS, square.TAPE_NAMES)
    target = None if fields.get("target") is None else _pose(fields.inner("target", POSE))
    hubs = _hubs(fields)
    odd: Answer = {}
    if repeats:
        again = [_tapes(one, square.TAPE_MM) for one in repeats]
        found, out = square_with_repeats(track, bar, tapes, u, again, hubs)
        odd = {"odd_one_out": out.tape, "odd_one_out_reason": out.reason}
    else:
        found = square.square_stand(track, bar, tapes, u, hubs)
    pose: Answer = {}
    if found.pose and found.u:
        pose = {**asdict(found.pose), "u": asdict(found.u)}
    advice = list(advise(track, bar, found, target, hubs))
    return {"fits": found.fits, **pose, "misfit": found.misfit, **odd, "advice": advice}


def _hubs(fields: Fields) -> square.Hubs:
    """Return which hubs the tapes start from: the front ones where nothing is said."""
    given = fields.get("hubs")
    if given is None:
        return square.FRONT
    for one in (square.FRONT, square.REAR):
        if given == one:
            return one
    field = fields.at("hubs")
    raise BadInput("unknown-hubs", field, f"{field}={shown(given)} must be front or rear")


def _tapes(fields: Fields, allowed: Any) -> square.Tapes:
    return square.Tapes(*(fields.number(name, allowed) for name in square.TAPE_NAMES))


def _tape_u(fields: Fields) -> square.Tapes:
    """Return one standard uncertainty for each tape: given one by one, or once for all four."""
    if isinstance(fields.get("u_mm"), dict):
        return _tapes(fields.inner("u_mm", square.TAPE_NAMES), square.TAPE_U_MM)
    return square.Tapes(*[fields.number("u_mm", square.TAPE_U_MM)] * 4)


def _pose(fields: Fields) -> square.Pose:
    return square.Pose(
        fields.number("distance_mm", square.DISTANCE_MM),
        fields.number("offset_mm", square.OFFSET_MM),
        fields.number("yaw_deg", square.YAW_DEG),
    )


def _axis(given: object) -> Answer:
    fields = Fields(given, "", ("front", "rear"), ("toe_deg",))
    toe = None
    if fields.get("toe_deg") is not None:
        rear = fields.inner("toe_deg", ("left", "right"))
        toe = axis.RearToe(rear.number("left", axis.TOE_DEG), rear.number("right", axis.TOE_DEG))
    return asdict(axis.reference_axis(_axle(fields, "front"), _axle(fields, "rear"), toe))


def _axle(fields: Fields, key: str) -> axis.Axle:
    sides = fields.inner(key, ("left", "right"))
    points = [sides.inner(side, ("x_mm", "y_mm")) for side in ("left", "right")]
    return axis.Axle(
        *(axis.Point(one.number("x_mm", floor.BAY_MM), one.number("y_mm", floor.BAY_MM)) for one in points)
    )


def _decide(given: object) -> Answer:
    fields = Fields(given, "", ("value", "u"), ("low", "high"))
    value, u = fields.exact("value", decide.ANY_VALUE), fields.exact("u", decide.ANY_U)
    low, high = (None if fields.get(k) is None else fields.exact(k, decide.ANY_VALUE) for k in ("low", "high"))
    return asdict(decide.decide(value, u, low, high))


def _height(given: object) -> Answer:
    fields = Fields(given, "", ("centre_mm", "contacts", "spot", "floor_mm", "floor_u_mm", "u_mm"))
    contacts = [
        floor.FloorPoint(
            one.number("x_mm", floor.BAY_MM), one.number("y_mm", floor.BAY_MM), one.number("height_mm", floor.HEIGHT_MM)
        )
        for one in fields.each("contacts", floor.MOST_POINTS, ("x_mm", "y_mm", "height_mm"))
    ]
    spot = fields.inner("spot", ("x_mm", "y_mm"))
    below = floor.SpotHeight(fields.number("floor_mm", floor.HEIGHT_MM), fields.number("floor_u_mm", floor.FLOOR_U_MM))
    where = floor.Spot(spot.number("x_mm", floor.BAY_MM), spot.number("y_mm", floor.BAY_MM))
    centre, u = fields.number("centre_mm", floor.HEIGHT_MM), fields.number("u_mm", floor.FLOOR_U_MM)
    return asdict(height.stand_height(centre, contacts, where, below, u))


def _repeats(given: object) -> Answer:
    """Repeated readings of one thing: their mean and how sure it is, the odd one, and how many would settle it."""
    fields = Fields(given, "", ("readings", "u"), ("low", "high"))
    found = judged.judge(
        {
            "method": "values",
            "compare": [],
            "readings": [
                {"name": "value", "label": "", "unit": "", "instrument": None, "u": fields.number("u", decide.ANY_U)}
                | {k: None if fields.get(k) is None else fields.number(k, decide.ANY_VALUE) for k in ("low", "high")}
            ],
        },
        [{"value": one} for one in fields.numbers("readings", decide.MOST_REPEATS, decide.ANY_VALUE)],
    )
    part = found["parts"][0]
    return {name: part[name] for name in REPEATED if name in part}


def _area(given: object) -> Answer:
    fields = Fields(given, "", ("bay", "areas"), ("obstacles",))
    obstacles = tuple(
        area.Obstacle(one.text_or_none("name") or "", _corners(one, "corners"))
        for one in fields.each("obstacles", MOST_PAIRS, ("name", "corners"))
    )
    areas = [_corners(one, "corners") for one in fields.each("areas", MOST_PAIRS, ("corners",))]
    found = area.fit(area.Bay(_corners(fields, "bay"), obstacles), areas)
    return asdict(found) | {"shift": list(found.shift) if found.shift else None}


def _corners(fields: Fields, key: str) -> tuple[area.XY, ...]:
    field, corners = fields.at(key), fields.get(key)
    if not isinstance(corners, list) or not all(isinstance(one, list) and len(one) == 2 for one in corners):
        raise BadInput("not-corners", field, f"{field}={shown(corners)} must be a list of [x, y] in mm")
    return tuple(
        (read(x, f"{field}[{n}][0]", floor.BAY_MM), read(y, f"{field}[{n}][1]", floor.BAY_MM))
        for n, (x, y) in enumerate(corners)
    )


def _vin(given: object) -> Answer:
    vin = read_vin(Fields(given, "", ("text",)).get("text"))
    return {"vin": vin.text, "cleaned": list(vin.cleaned), "check_digit": vin.check_digit, "valid": vin.valid}


def _scan(given: object) -> Answer:
    fields = Fields(given, "", ("expected", "kit", "text"), ("placed", "holding", "today", "job"))
    expected, placed = (
        [{"target": one.text_or_none("target"), "spot": one.text_or_none("spot")} for one in pairs]
        for pairs in (fields.each(key, MOST_PAIRS, (), ("target", "spot")) for key in ("expected", "placed"))
    )
    kit, holding = _kit(fields), fields.text_or_none("holding")
    if holding is not None and holding not in kit:
        holding = read_label(holding, "holding").code
    text, today = fields.text_or_none("text") or "", fields.day_or_none("today")
    result = scan_verdict(expected, placed, kit, text, holding, today, fields.texts_or_none("job"))
    return {"verdict": result.verdict, "target": result.target, "spot": result.spot, "next": sentence(result)}


def _kit(fields: Fields) -> Kit:
    """Return the kit; an item may carry more than a scan needs, so its other keys are let be."""
    kit = fields.get("kit")
    if not isinstance(kit, dict) or not all(isinstance(item, dict) for item in kit.values()):
        raise BadInput("not-an-object", "kit", f"kit={shown(kit)} must be an object with an object for each code")
    for code, item in kit.items():
        known = Fields(item, f"kit.{code}", (), tuple(item))
        known.day_or_none("inspection_due")
        for key in ("kind", "is", "name"):
            known.text_or_none(key)
        if known.get("condition") not in (None, "good", "damaged"):
            field = known.at("condition")
            raise BadInput("unknown-condition", field, f"{field}={shown(item['condition'])} must be good or damaged")
    return kit


METHODS: dict[str, Callable[[object], Answer]] = {
    "floor": _floor,
    "square": _square,
    "axis": _axis,
    "decide": _decide,
    "height": _height,
    "repeats": _repeats,
    "area": _area,
    "vin": _vin,
    "scan": _scan,
}
