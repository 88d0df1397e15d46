"""The stand that is there, and the four tapes from the hub marks to its own marks."""

from collections.abc import Mapping
from math import cos, radians, sin
from typing import Any

from .dimension import Mark, rows
from .frame import Frame
from .marks import PAGE_PX, Box, Dot, Label, Point, Scene, Spot, Stroke
from .placements import axle_end, distances
from .placing import around
from .stand import EDGE_PX, nose
from .vehicle import Outline, centreline, vehicle
from .words import NEARLY_MM, Say, seen, turned, where

SIDES = {"left": 1, "right": -1}
BEYOND_PX = 12.0
"""How far the bar reaches beyond its marks."""


def squaring(outline: Outline, square: Mapping[str, Any], say: Say) -> Scene:
    """Where the stand should be, the two hub marks, its two marks, and the tapes between them.

    square: a step's measurement by the method `square`, with its target.
    """
    target = square["target"]
    x, y, yaw = target["distance_mm"], target["offset_mm"], target["yaw_deg"]
    frame, height = nose(outline, [(x, abs(y) + square["bar_mm"] / 2 + 150.0)], 46.0)
    hubs = {side: frame.at(0, sign * square["track_mm"] / 2) for side, sign in SIDES.items()}
    marks = {side: _end(frame, x, y, yaw, sign * square["bar_mm"] / 2) for side, sign in SIDES.items()}
    drawn: list[Mark] = [*vehicle(outline, frame, bonnet=False), centreline(frame, 4, height)]
    drawn += [Stroke("tape", (hubs[hub], marks[mark]), tape=f"{hub}_{mark}") for hub in SIDES for mark in SIDES]
    drawn.append(Stroke("heavy", (_beyond(marks["right"], marks["left"]), _beyond(marks["left"], marks["right"]))))
    drawn += [Dot("solid", point, 4.5) for point in (*hubs.values(), *marks.values())]
    drawn += distances(outline, frame, [(x, y + square["bar_mm"] / 2 + BEYOND_PX / frame.scale)], EDGE_PX, words="")
    if abs(y) > NEARLY_MM:
        row = frame.at(x, 0)[1] - 22
        drawn += rows(row, (frame.x0, row), [(frame.at(x, y), y)])
    for side, sign in SIDES.items():
        drawn.append(
            Label(say(f"drawing-{side}-mark"), _by_mark(marks[side], side), of=Box.about([marks[side]]), name=True)
        )
        edge_px = axle_end(outline, frame, sign)[0]
        drawn.append(Label(say(f"drawing-{side}-hub"), _by_hub(hubs[side], edge_px, side), name=True))
    place = ", ".join(part for part in (where(x, y, say), turned(yaw, say)) if part)
    return Scene(height, tuple(drawn), (seen(say), say("drawing-alt-stand", place=place), say("drawing-alt-tapes")))


def _end(frame: Frame, x_mm: float, y_mm: float, yaw_deg: float, half_mm: float) -> Point:
    turn = radians(yaw_deg)
    return frame.at(x_mm - half_mm * sin(turn), y_mm + half_mm * cos(turn))


def _beyond(one: Point, other: Point) -> Point:
    """A point a little beyond `other`, seen from `one`."""
    part = 1 + BEYOND_PX / (abs(other[0] - one[0]) or 1.0)
    return one[0] + (other[0] - one[0]) * part, one[1] + (other[1] - one[1]) * part


def _by_mark(point: Point, side: str) -> tuple[Spot, ...]:
    return around(point, (f"{side}-above", "above", side))


def _by_hub(point: Point, edge_px: float, side: str) -> tuple[Spot, ...]:
    """Outside the body, just below the axle's level, where the dimension's extension line does not run."""
    outward, anchor = (-1, "end") if side == "left" else (1, "start")
    room = edge_px - 8 if side == "left" else PAGE_PX - edge_px - 8
    outside = tuple(Spot(edge_px + 7 * outward, point[1] + 5, anchor, most, "top") for most in (room, room * 0.7))
    return outside + around(point, (f"{side}-below", "below"), gap_px=14.0)
