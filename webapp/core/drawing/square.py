"""The stand that is there, and the four tapes from the hub marks to its own marks."""

from collections.abc import Mapping
from math import cos, radians, sin
from typing import Any

from ..measure.square import REAR
from .dimension import Mark, along, rows
from .frame import Frame
from .lettering import unit, with_unit
from .marks import PAGE_PX, Box, Dot, Label, Point, Scene, Spot, Stroke
from .placements import HALF_FIGURE_PX, axle_end
from .placing import around
from .stand import EDGE_PX, nose, tail
from .vehicle import Outline, centreline, vehicle
from .words import NEARLY_MM, Say, aside, seen, turned, where

SIDES = {"left": 1, "right": -1}
BEYOND_PX = 12.0
"""How far the bar reaches beyond its marks."""

ROOM_PX = 46.0
"""Beyond the stand, for the names of its marks and a row of dimensions."""


def squaring(outline: Outline, square: Mapping[str, Any], say: Say) -> Scene:
    """Where the stand should be, the two hub marks, its two marks, and the tapes between them.

    square: a step's measurement by the method `square`, with its target.
    """
    target, behind = square["target"], square.get("hubs") == REAR
    away, y, yaw, half_mm = target["distance_mm"], target["offset_mm"], target["yaw_deg"], square["bar_mm"] / 2
    wide = abs(y) + half_mm + 150.0
    frame, height = (
        tail(outline, (-outline["wheelbase_mm"] - away, wide), ROOM_PX)
        if behind
        else nose(outline, [(away, wide)], ROOM_PX)
    )
    axle = -outline["wheelbase_mm"] if behind else 0.0
    x, out = (axle - away, -1) if behind else (away, 1)
    hubs = {side: frame.at(axle, sign * square["track_mm"] / 2) for side, sign in SIDES.items()}
    marks = {side: _end(frame, x, y, yaw, sign * half_mm) for side, sign in SIDES.items()}
    ends = (4.0, height) if not behind else (0.0, height - 4)
    drawn: list[Mark] = [*vehicle(outline, frame, bonnet=False), centreline(frame, *ends)]
    drawn += [Stroke("tape", (hubs[hub], marks[mark]), tape=f"{hub}_{mark}") for hub in SIDES for mark in SIDES]
    drawn.append(Stroke("heavy", (_beyond(marks["right"], marks["left"]), _beyond(marks["left"], marks["right"]))))
    drawn += [Dot("solid", point, 4.5) for point in (*hubs.values(), *marks.values())]
    origin, near = axle_end(outline, frame, 1, axle), y + half_mm + BEYOND_PX / frame.scale
    drawn += along(max(EDGE_PX, HALF_FIGURE_PX), origin, frame.at(x, near), away)
    if abs(y) > NEARLY_MM:
        row = frame.at(x, 0)[1] - out * 22
        drawn += rows(row, (frame.x0, row), [(frame.at(x, y), y)])
    for side, sign in SIDES.items():
        drawn.append(
            Label(say(f"drawing-{side}-mark"), _by_mark(marks[side], side, out), of=Box.about([marks[side]]), name=True)
        )
        edge_px = axle_end(outline, frame, sign, axle)[0]
        drawn.append(Label(say(f"drawing-{side}-hub"), _by_hub(hubs[side], edge_px, side, out), name=True))
    place = ", ".join(part for part in (_where(away, y, behind, say), turned(yaw, say)) if part)
    words = (seen(say), say("drawing-alt-stand", place=place), say("drawing-alt-tapes"))
    return Scene(height, tuple(drawn), words, seat=frame.seat)


def _where(away_mm: float, y_mm: float, behind: bool, say: Say) -> str:
    if not behind:
        return where(away_mm, y_mm, say)
    return f"{say('drawing-behind-rear-axle', length=with_unit(away_mm, unit()))}, {aside(y_mm, say)}"


def _end(frame: Frame, x_mm: float, y_mm: float, yaw_deg: float, half_mm: float) -> Point:
    turn = radians(yaw_deg)
    return frame.at(x_mm - half_mm * sin(turn), y_mm + half_mm * cos(turn))


def _beyond(one: Point, other: Point) -> Point:
    """A point a little beyond `other`, seen from `one`."""
    part = 1 + BEYOND_PX / (abs(other[0] - one[0]) or 1.0)
    return one[0] + (other[0] - one[0]) * part, one[1] + (other[1] - one[1]) * part


def _by_mark(point: Point, side: str, out: int) -> tuple[Spot, ...]:
    beyond = "above" if out > 0 else "below"
    return around(point, (f"{side}-{beyond}", beyond, side))


def _by_hub(point: Point, edge_px: float, side: str, out: int) -> tuple[Spot, ...]:
    """Outside the body, beside the axle on the vehicle's side, where the dimension's extension line does not run."""
    outward, anchor = (-1, "end") if side == "left" else (1, "start")
    room = edge_px - 8 if side == "left" else PAGE_PX - edge_px - 8
    inward, hangs = ("below", "top") if out > 0 else ("above", "bottom")
    outside = tuple(Spot(edge_px + 7 * outward, point[1] + 5 * out, anchor, most, hangs) for most in (room, room * 0.7))
    return outside + around(point, (f"{side}-{inward}", inward), gap_px=14.0)
