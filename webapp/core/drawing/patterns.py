"""Floor patterns round the vehicle: where each mat goes, from the front axle and from the centreline."""

from collections.abc import Iterable, Sequence
from math import cos, radians, sin

from .dimension import Mark, rows
from .frame import Frame, fit
from .marks import Box, Label, Point, Scene, Spot, Stroke
from .placements import deep_mm, distances, middle, wide_mm
from .placing import around
from .vehicle import Outline, centreline, front_mm, rear_mm, vehicle
from .words import NEARLY_MM, Placed, Say, placed, seen, tag

EDGE_PX = 18.0
ROW_PX = 18.0
TALLEST_PX = 370.0
CROSS_PX = 4.0


def patterns(outline: Outline, placements: Sequence[Placed], there: bool, say: Say) -> Scene:
    """The vehicle with its mats, running distances at the left edge, and offsets ahead of all."""
    tiers = max(len({one["y_mm"] for one in placements if one["y_mm"] * side > NEARLY_MM}) for side in (1, -1))
    halves = [(one, *_half(one)) for one in placements]
    frame, height = fit(
        max([front_mm(outline) + 200.0, *(one["x_mm"] + deep for one, deep, _ in halves)]),
        min([rear_mm(outline) - 200.0, *(one["x_mm"] - deep for one, deep, _ in halves)]),
        max([outline["width_mm"] / 2, *(abs(one["y_mm"]) + wide for one, _, wide in halves)]),
        (64.0, 12 + ROW_PX * tiers + (10 if tiers else 0), 78.0, 12.0),
        TALLEST_PX,
        most=0.06,
    )
    marks: list[Mark] = [*vehicle(outline, frame), centreline(frame, 4, height - 4)]
    for one in placements:
        mat = _mat(frame, one)
        marks.append(Stroke("laid" if there else "place", mat, closed=True, spot=one["spot"] or ""))
        marks += _cross(middle(frame, one))
    marks += distances(
        outline,
        frame,
        [(one["x_mm"], one["y_mm"] + wide) for one, _, wide in halves],
        EDGE_PX,
        say("drawing-front-axle"),
    )
    top = min(frame.at(one["x_mm"] + deep, 0)[1] for one, deep, _ in halves) - 14 if placements else 0.0
    marks += rows(top, (frame.x0, top), _foremost(frame, placements), ROW_PX)
    marks += [Label(tag(one, say), _by(frame, one), of=Box.about(_mat(frame, one)), name=True) for one in placements]
    words = (seen(say), *(placed(one, say) for one in placements))
    return Scene(height, tuple(marks), words, seat=frame.seat)


def _half(one: Placed) -> tuple[float, float]:
    """How far a mat reaches from its middle, along x and along y, turned as it is."""
    turn = radians(one["yaw_deg"] or 0.0)
    long, wide = deep_mm(one) / 2, wide_mm(one) / 2
    return abs(long * cos(turn)) + abs(wide * sin(turn)), abs(long * sin(turn)) + abs(wide * cos(turn))


def _mat(frame: Frame, one: Placed) -> tuple[Point, ...]:
    return frame.rectangle((one["x_mm"], one["y_mm"]), deep_mm(one), wide_mm(one), one["yaw_deg"] or 0.0)


def _cross(at: Point) -> Iterable[Stroke]:
    """The middle of a mat: what its dimensions are taken to."""
    x, y = at
    return (
        Stroke("thin", ((x - CROSS_PX, y), (x + CROSS_PX, y))),
        Stroke("thin", ((x, y - CROSS_PX), (x, y + CROSS_PX))),
    )


def _foremost(frame: Frame, placements: Sequence[Placed]) -> list[tuple[Point, float]]:
    """For each offset from the centreline the front end of the mat that lies farthest ahead."""
    ends: dict[float, float] = {}
    for one in placements:
        y, x = one["y_mm"], one["x_mm"] + _half(one)[0]
        ends[y] = max(x, ends.get(y, x))
    return [(frame.at(x, y), y) for y, x in ends.items()]


def _by(frame: Frame, one: Placed) -> tuple[Spot, ...]:
    """A mat's name stands on the mat where there is room, else near it."""
    x, y = middle(frame, one)
    deep, wide = (part * frame.scale for part in _half(one))
    on = [Spot(x, y + shift, "middle", 2 * wide - 8, hangs) for shift, hangs in ((7, "top"), (-7, "bottom"))]
    ends = [
        Spot(x + shift, y + deep + 5, anchor, most, "top")
        for most in (118, 84, 60)
        for shift, anchor in ((0, "middle"), (-wide, "start"), (wide, "end"))
    ]
    ends += [
        Spot(x + shift, y - deep - 5, anchor, most, "bottom")
        for most in (118, 84, 60)
        for shift, anchor in ((0, "middle"), (-wide, "start"), (wide, "end"))
    ]
    return (*on, *ends, *around((x, y), ("left", "right"), gap_px=wide + 6))
