"""Targets ahead of the vehicle, on the bar of one stand or each on its own foot."""

from collections.abc import Sequence

from .dimension import Mark, rows
from .frame import Frame, fit
from .lettering import wrap
from .marks import LINE_PX, SIZE_PX, Label, Point, Scene, Spot, Stroke
from .placements import distances, middle, wide_mm
from .placing import around
from .vehicle import Outline, centreline, front_mm, rear_mm, vehicle
from .words import NEARLY_MM, Placed, Say, placed, seen, tag

BOARD_DEEP_PX = 8.0
BAR_BEHIND_PX = 10.0
BAR_BEYOND_MM = 320.0
"""How far a stand's bar reaches beyond the middle of its outer boards."""

NOSE_MM = 950.0
"""So much of the vehicle is shown behind its front axle."""

EDGE_PX = 27.0
"""Where the distance is dimensioned, from the sheet's left edge."""

ROW_PX = 18.0
TAG_PX, MOST_LINES = 142.0, 4
"""The widest and the longest that a target's name may run above it."""

NARROW_PX = 40.0
"""Less room than this is none."""


def stand(outline: Outline, placements: Sequence[Placed], there: bool, say: Say) -> Scene:
    """The boards on a stand's bar."""
    return _ahead(outline, placements, there, say, bar=True)


def reflector(outline: Outline, placements: Sequence[Placed], there: bool, say: Say) -> Scene:
    """A reflector plate, or several."""
    return _ahead(outline, placements, there, say, bar=False)


def nose(outline: Outline, places_mm: Sequence[tuple[float, float]], top_px: float) -> tuple[Frame, float]:
    """Return the frame that shows the vehicle's nose and these points ahead of it, and the page's height."""
    farthest = max([front_mm(outline) + 300.0, *(x for x, _ in places_mm)])
    behind = min([-NOSE_MM, *(min(x - 300.0, rear_mm(outline) - 200.0) for x, _ in places_mm if x < -NOSE_MM)])
    aside = max([outline["width_mm"] / 2, *(abs(y) for _, y in places_mm)])
    return fit(farthest, behind, aside, (96.0, top_px, 82.0, 0.0), 300.0 if behind == -NOSE_MM else 400.0)


def _ahead(outline: Outline, placements: Sequence[Placed], there: bool, say: Say, bar: bool) -> Scene:
    tags = [tag(one, say) for one in placements]
    lines = max((len(wrap(text, SIZE_PX, TAG_PX)) for text in tags), default=1)
    tiers = max(sum(one["y_mm"] * side > NEARLY_MM for one in placements) for side in (1, -1))
    keyed = lines > MOST_LINES or tiers > 1
    frame, height = nose(
        outline,
        [(one["x_mm"], abs(one["y_mm"]) + max(wide_mm(one) / 2, BAR_BEYOND_MM * bar)) for one in placements],
        22 + LINE_PX * (1.3 if keyed else lines) + (ROW_PX * tiers + 16 if tiers else 0),
    )
    far = min((middle(frame, one)[1] for one in placements), default=height)
    row = far - 28  # the lowest row of dimensions from the centreline
    roof = row - ROW_PX * (tiers - 1) - 20 if tiers else far - 16
    marks: list[Mark] = [*vehicle(outline, frame), centreline(frame, 4, height)]
    marks += [Stroke("heavy" if there else "goes", _bar(frame, placements))] if bar and placements else []
    marks += [Stroke("laid" if there else "place", _board(frame, one), closed=True) for one in placements]
    marks += distances(
        outline,
        frame,
        [(one["x_mm"], one["y_mm"] + wide_mm(one) / 2) for one in placements],
        EDGE_PX,
        say("drawing-front-axle"),
    )
    marks += rows(row, (frame.x0, row), [(_top(frame, one), one["y_mm"]) for one in placements])
    marks += [
        Label(text, _above(middle(frame, one), roof, frame.x0), name=True)
        for text, one in zip(tags, placements, strict=True)
    ]
    return Scene(height, tuple(marks), (seen(say), *(placed(one, say) for one in placements)), keyed)


def _board(frame: Frame, one: Placed) -> tuple[Point, ...]:
    deep_mm = BOARD_DEEP_PX / frame.scale
    return frame.rectangle((one["x_mm"], one["y_mm"]), deep_mm, wide_mm(one), one["yaw_deg"] or 0.0)


def _top(frame: Frame, one: Placed) -> Point:
    x, y = middle(frame, one)
    return x, y - BAR_BEHIND_PX - 1


def _bar(frame: Frame, placements: Sequence[Placed]) -> tuple[Point, ...]:
    """The bar just behind the boards, a little longer than they are."""
    behind = BAR_BEHIND_PX / frame.scale
    left, right = (pick(placements, key=lambda one: one["y_mm"]) for pick in (max, min))
    return (
        frame.at(left["x_mm"] + behind, left["y_mm"] + BAR_BEYOND_MM),
        frame.at(right["x_mm"] + behind, right["y_mm"] - BAR_BEYOND_MM),
    )


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
