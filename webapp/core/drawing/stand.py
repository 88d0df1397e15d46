"""Targets round the vehicle, on the bars of stands or each on its own foot."""

from collections.abc import Sequence
from math import cos, radians, sin

from .dimension import Mark, rows
from .frame import Frame, fit
from .lettering import wrap
from .marks import LINE_PX, SIZE_PX, Label, Point, Scene, Spot, Stroke
from .placements import distances, middle, wide_mm
from .placing import around
from .vehicle import Outline, centreline, front_mm, rear_mm, vehicle
from .words import NEARLY_DEG, NEARLY_MM, Placed, Say, placed, seen, tag

BOARD_DEEP_PX = 8.0
BAR_BEHIND_PX = 10.0
BAR_BEYOND_MM = 320.0
"""How far a stand's bar reaches beyond the middle of its outer boards."""

BAR_MM = 2400.0
"""Two boards farther apart than this hang on two stands."""

NOSE_MM = 950.0
"""So much of the vehicle is shown behind its front axle, or ahead of its rear one."""

FOOT_MM = 500.0
"""A stand behind the vehicle reaches this far behind the middle of its board."""

EDGE_PX = 27.0
"""Where the distance is dimensioned, from the sheet's left edge."""

ROW_PX = 18.0
TAG_PX, MOST_LINES = 142.0, 4
"""The widest and the longest that a target's name may run above it."""

NARROW_PX = 40.0
"""Less room than this is none."""


def stand(outline: Outline, placements: Sequence[Placed], there: bool, say: Say, standing: bool = False) -> Scene:
    """The boards on a stand's bar. `standing`: the stand itself is there already."""
    return _ahead(outline, placements, there, say, bar=True, standing=standing)


def reflector(outline: Outline, placements: Sequence[Placed], there: bool, say: Say) -> Scene:
    """A reflector plate, or several."""
    return _ahead(outline, placements, there, say, bar=False, standing=there)


def nose(
    outline: Outline, places_mm: Sequence[tuple[float, float]], top_px: float, bottom_px: float = 0.0
) -> tuple[Frame, float]:
    """Return the frame that shows the vehicle's nose and these points ahead of it, and the page's height."""
    farthest = max([front_mm(outline) + 300.0, *(x for x, _ in places_mm)])
    behind = min([-NOSE_MM, *(min(x - FOOT_MM, rear_mm(outline) - 200.0) for x, _ in places_mm if x < -NOSE_MM)])
    aside = max([outline["width_mm"] / 2, *(abs(y) for _, y in places_mm)])
    return fit(farthest, behind, aside, (96.0, top_px, 82.0, bottom_px), 300.0 if behind == -NOSE_MM else 368.0)


def tail(outline: Outline, place_mm: tuple[float, float], bottom_px: float) -> tuple[Frame, float]:
    """Return the frame that shows the vehicle's tail and this point behind it, and the page's height."""
    x, y = place_mm
    behind = min(rear_mm(outline) - 300.0, x)
    aside = max(outline["width_mm"] / 2, abs(y))
    return fit(NOSE_MM - outline["wheelbase_mm"], behind, aside, (96.0, 0.0, 82.0, bottom_px), 300.0)


def _ahead(outline: Outline, placements: Sequence[Placed], there: bool, say: Say, bar: bool, standing: bool) -> Scene:
    tags = [tag(one, say) for one in placements]
    lines = max((len(wrap(text, SIZE_PX, TAG_PX)) for text in tags), default=1)
    tiers = max(sum(one["y_mm"] * side > NEARLY_MM for one in placements) for side in (1, -1))
    keyed = lines > MOST_LINES or tiers > 1
    ahead = not placements or any(one["x_mm"] > 0 for one in placements)
    over_nose = ahead or any(one["x_mm"] > -NOSE_MM for one in placements)
    frame, height = nose(
        outline,
        [(one["x_mm"], abs(one["y_mm"]) + max(wide_mm(one) / 2, BAR_BEYOND_MM * bar)) for one in placements],
        22 + LINE_PX * (1.3 if keyed else lines) * ahead + (ROW_PX * tiers + 16 if tiers else 0) * over_nose,
        (8 + LINE_PX * (1.3 if keyed else lines)) * (not ahead),
    )
    far = min((middle(frame, one)[1] for one in placements), default=height)
    row = far - 28  # the lowest row of dimensions from the centreline
    roof = row - ROW_PX * (tiers - 1) - 20 if tiers else far - 16
    marks: list[Mark] = [*vehicle(outline, frame), centreline(frame, 4, height)]
    bars = _stands(placements) if bar else []
    marks += [Stroke("heavy" if there or standing else "goes", _bar(outline, frame, stand)) for stand in bars]
    marks += [
        Stroke("laid" if there else "place", _board(frame, one), closed=True, spot=one["spot"] or "")
        for one in placements
    ]
    marks += distances(
        outline,
        frame,
        [(one["x_mm"], one["y_mm"] + wide_mm(one) / 2) for one in placements],
        EDGE_PX,
        say("drawing-front-axle"),
    )
    marks += rows(row, (frame.x0, row), [(_top(frame, one), one["y_mm"]) for one in placements])
    marks += [
        Label(text, _above(middle(frame, one), roof, frame.x0) if ahead else _below(frame, one), name=True)
        for text, one in zip(tags, placements, strict=True)
    ]
    words = (seen(say), *(placed(one, say) for one in placements))
    return Scene(height, tuple(marks), words, keyed, seat=frame.seat)


def _board(frame: Frame, one: Placed) -> tuple[Point, ...]:
    deep_mm = BOARD_DEEP_PX / frame.scale
    return frame.rectangle((one["x_mm"], one["y_mm"]), deep_mm, wide_mm(one), one["yaw_deg"] or 0.0)


def _top(frame: Frame, one: Placed) -> Point:
    x, y = middle(frame, one)
    return x, y - BAR_BEHIND_PX - 1


def _stands(placements: Sequence[Placed]) -> list[list[Placed]]:
    """The boards by the stand that they hang on: one after another along one line, not farther apart than a bar."""
    stands: list[list[Placed]] = []
    for one in placements:
        found = next((stand for stand in stands if any(_on_one_bar(one, other) for other in stand)), None)
        if found is None:
            stands.append([one])
        else:
            found.append(one)
    return stands


def _on_one_bar(one: Placed, other: Placed) -> bool:
    turn = radians(one["yaw_deg"] or 0.0)
    x, y = other["x_mm"] - one["x_mm"], other["y_mm"] - one["y_mm"]
    off, along = abs(x * cos(turn) + y * sin(turn)), abs(y * cos(turn) - x * sin(turn))
    alike = abs((one["yaw_deg"] or 0.0) - (other["yaw_deg"] or 0.0)) < NEARLY_DEG
    return bool(alike and off < NEARLY_MM and along <= BAR_MM)


def _bar(outline: Outline, frame: Frame, stand: Sequence[Placed]) -> tuple[Point, ...]:
    """The bar on the boards' far side from the vehicle, a little longer than they are."""
    turn = radians(stand[0]["yaw_deg"] or 0.0)
    middle_mm = (front_mm(outline) + rear_mm(outline)) / 2
    out = (stand[0]["x_mm"] - middle_mm) * cos(turn) + stand[0]["y_mm"] * sin(turn)
    behind = BAR_BEHIND_PX / frame.scale * (1 if out >= 0 else -1)
    along = [one["y_mm"] * cos(turn) - one["x_mm"] * sin(turn) for one in stand]
    ends = (max(along) + BAR_BEYOND_MM, min(along) - BAR_BEYOND_MM)
    off = stand[0]["x_mm"] * cos(turn) + stand[0]["y_mm"] * sin(turn) + behind
    return frame.all((off * cos(turn) - end * sin(turn), off * sin(turn) + end * cos(turn)) for end in ends)


def _below(frame: Frame, one: Placed) -> tuple[Spot, ...]:
    """Under a target behind the vehicle, running outward from the centreline where two stand side by side."""
    point = middle(frame, one)
    down = frame.at(one["x_mm"] - FOOT_MM, 0)[1] + 2
    side = 0 if abs(one["y_mm"]) < NEARLY_MM else 1 if one["y_mm"] < 0 else -1
    anchor = ("middle", "start", "end")[side]
    outward = (Spot(frame.x0 + 7 * side, down, anchor, TAG_PX, "top"), Spot(point[0], down, "middle", TAG_PX, "top"))
    return (*outward, *around(point, ("below", "left", "right")))


def _above(point: Point, roof: float, centre_px: float) -> tuple[Spot, ...]:
    """Over its own extension line where the name is short, else running outward from the centreline."""
    off = point[0] - centre_px
    room = 2 * abs(off) - 8
    over = [Spot(point[0], roof, "middle", room, "bottom")] if room > NARROW_PX else []
    outward = [("start", 7.0)] if off > -1 else []
    outward += [("end", -7.0)] if off < 1 else []
    beside = [
        Spot(start + out, roof - lift, anchor, TAG_PX, "bottom")
        for start in (centre_px, point[0])
        for anchor, out in outward
        for lift in (0, 16, 32, 48)
    ]
    return (*over, *beside, *around(point, ("above", "left", "right")))
