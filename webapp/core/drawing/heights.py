"""How high each target's centre is: the vehicle from its left, the floor, and the targets at their distances."""

from collections.abc import Sequence
from math import radians, sin

from .dimension import Mark, arrow
from .frame import Frame
from .lettering import unit
from .marks import PAGE_PX, Box, Dot, Label, Point, Scene, Spot, Stroke
from .placements import deep_mm, wide_mm
from .placing import EDGE_PX, around
from .vehicle import TYRE_LONG_MM, Outline, front_mm, rear_mm
from .words import Placed, Say, high, name_of, placed

# The body from its left, as parts of the length from the front and of the height from the floor; a sketch, since a
# spec has no height of the vehicle. A point given twice is a corner in the curve.
BODY = (
    *((0.02, 0.15), (0.02, 0.15), (0.0, 0.26), (0.006, 0.42), (0.05, 0.54), (0.25, 0.64), (0.25, 0.64), (0.39, 0.95)),
    *((0.50, 1.0), (0.72, 0.99), (0.86, 0.94), (0.955, 0.70), (0.99, 0.62), (1.0, 0.4), (0.98, 0.15), (0.98, 0.15)),
)
HIGH_MM = 1500.0
"""How high the sketch of the body is drawn."""

MARGIN_MM = 350.0
FLOOR_PX, TOP_PX = 12.0, 56.0
MOST = 0.085
SIDE_PX = 52.0
THIN_PX, OFF_PX = 2.5, 9.0
"""Half of what a target seen edge-on is drawn, and how far off it the line of its height runs."""


def side_frame(outline: Outline, placements: Sequence[Placed]) -> tuple[Frame, float]:
    """Return a frame whose `at(height, -x)` is the page's point, and the page's height: x forward runs to the left."""
    ahead = max([front_mm(outline) + MARGIN_MM, *(one["x_mm"] + MARGIN_MM for one in placements)])
    behind = min([-1200.0, *(one["x_mm"] - MARGIN_MM for one in placements)])
    if behind < -1200.0:
        behind = min(behind, rear_mm(outline) - MARGIN_MM)
    highest = max([HIGH_MM, *(_top_mm(one) for one in placements)])
    scale = min(MOST, (PAGE_PX - 2 * SIDE_PX) / (ahead - behind))
    x0 = SIDE_PX + ahead * scale
    y0 = TOP_PX + highest * scale
    return Frame(scale, x0, y0), y0 + FLOOR_PX


def _top_mm(one: Placed) -> float:
    return float(one["height_mm"] or 0.0) + (deep_mm(one) / 2 if one["size_mm"] else 0.0)


def _at(frame: Frame, x_mm: float, height_mm: float) -> Point:
    return frame.at(height_mm, x_mm)


def _half_along(one: Placed) -> float:
    """How far a target reaches along the vehicle from its middle, as it is turned."""
    return abs(wide_mm(one) / 2 * sin(radians(one["yaw_deg"] or 0.0)))


def heights(outline: Outline, placements: Sequence[Placed], there: bool, say: Say) -> Scene:
    """Each target at its distance, its post on the floor and the height of its centre dimensioned."""
    upright = [one for one in placements if one["height_mm"] is not None]
    frame, height = side_frame(outline, upright)
    floor = _at(frame, 0, 0)[1]
    marks: list[Mark] = [Stroke("ink", ((0.0, floor), (PAGE_PX, floor)))]
    marks.append(Stroke("body", _body(outline, frame), closed=True, smooth=True))
    tyre_px = TYRE_LONG_MM / 2 * frame.scale
    marks += [Dot("ring", (_at(frame, x, 0)[0], floor - tyre_px), tyre_px) for x in (0.0, -outline["wheelbase_mm"])]
    for group in _groups(upright):
        marks += _target(frame, group, there, say)
    words = (say("drawing-seen-from-left", unit=unit()), *(placed(one, say) for one in upright))
    return Scene(height, tuple(marks), words)


def _body(outline: Outline, frame: Frame) -> tuple[Point, ...]:
    front, long = front_mm(outline), outline["length_mm"]
    return tuple(_at(frame, front - along_part * long, up * HIGH_MM) for along_part, up in BODY)


def _groups(placements: Sequence[Placed]) -> list[list[Placed]]:
    """Targets side by side at one distance and one height are one, seen from the left."""
    found: dict[tuple[float, float], list[Placed]] = {}
    for one in placements:
        found.setdefault((one["x_mm"], one["height_mm"]), []).append(one)
    return list(found.values())


def _target(frame: Frame, group: Sequence[Placed], there: bool, say: Say) -> list[Mark]:
    one = group[0]
    centre_mm, half_mm = float(one["height_mm"]), deep_mm(one) / 2
    middle = _at(frame, one["x_mm"], centre_mm)
    half_px = max(max(_half_along(each) for each in group) * frame.scale, THIN_PX)
    top, bottom = (_at(frame, 0, max(centre_mm + part, 0.0))[1] for part in (half_mm, -half_mm))
    (x, y), floor = middle, _at(frame, 0, 0)[1]
    line = x + (-1 if one["x_mm"] > 0 else 1) * (half_px + OFF_PX)
    names = dict.fromkeys(name_of(each, say) for each in group)
    told = "\n".join((*names, high(centre_mm, say)))
    return [
        Stroke("detail", ((x, bottom), (x, floor))),
        Stroke(
            "laid" if there else "place",
            ((x - half_px, top), (x + half_px, top), (x + half_px, bottom), (x - half_px, bottom)),
            closed=True,
        ),
        Dot("solid" if there else "solid-goes", middle, 2.5),
        Stroke("thin", ((line, y), (line, floor))),
        arrow((line, y), (0, -1)),
        arrow((line, floor), (0, 1)),
        Label(told, (*_over(x, top), *_beside(x + half_px, y), *_around(middle)), Box.about([middle]), name=True),
    ]


def _around(middle: Point) -> tuple[Spot, ...]:
    return around(middle, ("above", "left", "right"))


def _beside(edge_px: float, y: float) -> tuple[Spot, ...]:
    """Between the target and the vehicle, above its bonnet: many lines need all the height there is."""
    return tuple(Spot(edge_px + 6, y + down, "start", 150.0, "bottom") for down in (8, 16, 24))


def _over(x: float, top: float) -> tuple[Spot, ...]:
    """Over the target, or higher, clear of the roof; near the sheet's edge from that edge inward."""
    places = ((x, "middle"), (EDGE_PX + 2, "start"), (PAGE_PX - EDGE_PX - 2, "end"))
    near = [(at, anchor) for at, anchor in places if abs(at - x) < 2 * SIDE_PX]
    return tuple(Spot(at, top - 4 - lift, anchor, 150.0, "bottom") for lift in range(0, 40, 4) for at, anchor in near)
