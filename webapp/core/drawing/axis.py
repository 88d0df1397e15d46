"""The reference axis: the marks under the hubs, the centreline through their midpoints, the line it rolls along."""

from collections.abc import Mapping
from math import radians, tan
from typing import Any

from .dimension import Mark, arrow
from .frame import Frame, fit
from .marks import PAGE_PX, Box, Dot, Label, Point, Scene, Spot, Stroke
from .placing import around
from .vehicle import Outline, centreline, front_mm, rear_mm, vehicle, wheels_mm
from .words import Say, seen

TALLEST_PX = 330.0
AHEAD_MM, BEHIND_MM = 1000.0, 600.0
TURN_DEG = 5.0
"""The thrust line is drawn turned by this much to the right, and says that it is drawn so."""

AXES_PX = 24.0


def axis(outline: Outline, given: Mapping[str, Any], say: Say) -> Scene:
    """With a measurement by the method `axis` the four marks and how they are measured; else the line to snap."""
    frame, height = fit(
        front_mm(outline) + AHEAD_MM,
        rear_mm(outline) - BEHIND_MM,
        outline["width_mm"] / 2,
        (100.0, 6.0, 100.0, 6.0),
        TALLEST_PX,
        most=0.06,
    )
    wheels = {name: frame.at(*middle) for name, middle in wheels_mm(outline).items()}
    marks: list[Mark] = [*vehicle(outline, frame), *_axles(frame, outline, wheels)]
    if given.get("method") != "axis":
        return _line(marks, outline, frame, height, say)
    marks += [centreline(frame, 4, height - 4), *_thrust(frame, outline), *_axes(height, say)]
    marks += [Dot("solid", point, 4.5) for point in wheels.values()]
    marks.append(Label(say("drawing-thrust-line"), _by_thrust(frame), name=True))
    marks.append(
        Label(
            say("drawing-centreline"),
            tuple(Spot(frame.x0 - 7, 8, "end", most, "top") for most in (150, 110)),
            name=True,
        )
    )
    for name, point in wheels.items():
        side = "left" if name.endswith("left") else "right"
        edge_px = frame.at(0, outline["width_mm"] / 2 * (1 if side == "left" else -1))[0]
        marks.append(
            Label(say(f"drawing-mark-{name}"), _outside(point, edge_px, side), of=Box.about([point]), name=True)
        )
    return Scene(height, tuple(marks), (seen(say), say("drawing-alt-axis")))


def _line(marks: list[Mark], outline: Outline, frame: Frame, height: float, say: Say) -> Scene:
    """The centreline as it is to be snapped on the floor, ahead of the vehicle and behind it."""
    nose, tail = frame.at(front_mm(outline), 0)[1], frame.at(rear_mm(outline), 0)[1]
    marks += [centreline(frame, nose + 4, tail - 4)]
    marks += [Stroke("goes", ((frame.x0, a), (frame.x0, b))) for a, b in ((nose - 6, 6.0), (tail + 6, height - 6))]
    marks.append(Label(say("drawing-centreline"), around((frame.x0, nose - 26), ("right", "left"), gap_px=9.0)))
    return Scene(height, tuple(marks), (seen(say), say("drawing-alt-line")))


def _axles(frame: Frame, outline: Outline, wheels: Mapping[str, Point]) -> list[Mark]:
    """A thin line from mark to mark, and a ring at its middle: there the centreline passes."""
    marks: list[Mark] = []
    for axle, x_mm in (("front", 0.0), ("rear", -outline["wheelbase_mm"])):
        marks.append(Stroke("thin", (wheels[f"{axle}-left"], wheels[f"{axle}-right"])))
        marks.append(Dot("ring", frame.at(x_mm, 0), 3.5))
    return marks


def _thrust(frame: Frame, outline: Outline) -> list[Mark]:
    rear = frame.at(-outline["wheelbase_mm"], 0)
    tip = (rear[0] + (rear[1] - 12) * tan(radians(TURN_DEG)), 12.0)
    return [Stroke("tape", (rear, tip)), arrow((tip[0] + 0.4, tip[1] - 2), (0, -1), "tip", 1.3)]


def _by_thrust(frame: Frame) -> tuple[Spot, ...]:
    top = frame.x0 + (frame.y0 + 150) * tan(radians(TURN_DEG))
    return tuple(Spot(top + 8, y, "start", most, "top") for y in (8, 24) for most in (150, 110, 80))


def _axes(height: float, say: Say) -> list[Mark]:
    """Which way counts as plus: along, forward; aside, to the left."""
    x, y = 52.0, height - 24.0
    return [
        Stroke("thin", ((x, y), (x, y - AXES_PX))),
        arrow((x, y - AXES_PX - 2), (0, -1)),
        Stroke("thin", ((x, y), (x - AXES_PX, y))),
        arrow((x - AXES_PX - 2, y), (-1, 0)),
        Label(say("drawing-along-plus"), (Spot(x - 2, y - AXES_PX - 5, "middle", 90, "bottom"),), name=True),
        Label(say("drawing-aside-plus"), (Spot(8, y + 4, "start", 140, "top"),), name=True),
    ]


def _outside(point: Point, edge_px: float, side: str) -> tuple[Spot, ...]:
    outward, anchor = (-1, "end") if side == "left" else (1, "start")
    x = edge_px + 9 * outward
    room = (x if side == "left" else PAGE_PX - x) - 6
    beside = tuple(Spot(x, point[1] + shift, anchor, room) for shift in (0, -14, 14))
    return beside + around(point, (side,), gap_px=12.0)
