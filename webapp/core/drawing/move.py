"""How a stand must move, as data for static/pages/stand-move.mustache: where it is, where it goes, an arrow a move.

The phone draws this alone after a measurement, so it is sums and a template: plain arithmetic, no layout. What is off
is drawn 20 times larger, or as much larger as the sheet takes, and the drawing says so. Coordinates are text, written
alike by Python and JavaScript.

The vehicle is below, or above where the stand is behind it. The second is the first in a mirror: drawn as if it stood
ahead, with its turn turned over, every height then counted from the other end of the sheet.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from math import cos, radians, sin
from typing import Any

from ..lengths import MM, Unit
from ..measure.square import FRONT, REAR, TURN, Hubs
from .lettering import figure, with_unit
from .marks import PAGE_PX, Point
from .svg import px
from .words import Say

CENTRE_PX, LEVEL_PX = 165.0, 78.0
"""Where the stand's middle goes."""

HALF_PX, MM_PX = 66.0, 0.11
"""Half a stand, and the scale that makes of a stand 1200 mm wide."""

LARGER = (20.0, 10.0, 5.0, 2.0, 1.0, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01)
MOST_TURN_DEG, MOST_SLIDE_PX, MOST_FAR_PX, MOST_NEAR_PX = 12.0, 44.0, 26.0, 14.0
ARROW_PX, HEAD_PX, OFF_PX = 27.0, 10.0, 26.0
EDGE_PX, TO_BASELINE_PX = 32.0, 4.5
RING_PX, TEXT_PX = 13.0, 26.0
"""From an arrow to the ring with the move's number, and to the text beyond the ring."""

MIRROR_PX = 208.0
"""What a height and its mirror's make together; the note stays below both."""

STRIP_PX, ASIDE_PX = 146.0, 62.0
"""Below the bars, at this height, sliding and moving are shown, and moving this far off the centre."""

ALT = {FRONT: "drawing-alt-move", REAR: "drawing-alt-move-behind"}

Pose = Mapping[str, float]
"""distance_mm, offset_mm and yaw_deg of a stand."""


@dataclass(frozen=True)
class _Bar:
    """A stand on the page: its middle, and its turn to the left."""

    x: float
    y: float
    yaw_deg: float

    def end(self, side: int) -> Point:
        """The left (-1) or right (1) end."""
        turn = radians(self.yaw_deg)
        return self.x + side * HALF_PX * cos(turn), self.y - side * HALF_PX * sin(turn)

    def drawn(self, hubs: Hubs) -> dict[str, str]:
        return _line(_seen(self.end(-1), hubs), _seen(self.end(1), hubs))


@dataclass(frozen=True)
class _Written:
    """What stands by an arrow: the move's number in the list of moves, and its length."""

    number: str
    length: str
    hubs: Hubs


def stand_move(
    result: Mapping[str, Any], target: Pose, say: Say, unit: Unit = MM, hubs: Hubs = FRONT
) -> dict[str, Any] | None:
    """Return the drawing's data, or None where the four tapes did not fit and there is no pose to draw.

    result: what the method `square` found, with its advice. target: the pose that the stand should have. unit:
    what lengths are written in. hubs: those that the tapes start from, `rear` for a stand behind the vehicle.
    """
    if not result["fits"]:
        return None
    off_px = (result["offset_mm"] - target["offset_mm"]) * MM_PX
    far_px = (result["distance_mm"] - target["distance_mm"]) * MM_PX
    turned_deg = TURN[hubs] * (result["yaw_deg"] - target["yaw_deg"])
    larger = _larger(off_px, far_px, turned_deg)
    goes = _Bar(CENTRE_PX, LEVEL_PX, TURN[hubs] * target["yaw_deg"])
    here = _Bar(CENTRE_PX - off_px * larger, LEVEL_PX - far_px * larger, goes.yaw_deg + turned_deg * larger)
    moves = [one for one in result["advice"] if one["do"] in ("turn", "slide", "move")]
    note = _note(larger, bool(moves), say)
    return {
        "alt": " ".join((say(ALT[hubs], note=note), *(_alt(n, one, say, unit) for n, one in enumerate(moves, 1)))),
        "behind": hubs == REAR,
        "here": here.drawn(hubs),
        "goes": goes.drawn(hubs),
        "arrows": [arrow for n, one in enumerate(moves, 1) for arrow in _arrows(n, one, here, goes, unit, hubs)],
        "note": note,
    }


def _seen(point: Point, hubs: Hubs) -> Point:
    """The point as it is drawn: behind the vehicle, in the mirror."""
    return point if hubs == FRONT else (point[0], MIRROR_PX - point[1])


def _note(larger: float, moves: bool, say: Say) -> str:
    if not moves:
        return say("drawing-in-its-place")
    return say("drawing-larger", times=figure(larger)) if larger > 1 else say("drawing-not-to-scale")


def _larger(off_px: float, far_px: float, turned_deg: float) -> float:
    """How many times larger what is off can be drawn."""
    for times in LARGER:
        if (
            abs(off_px) * times <= MOST_SLIDE_PX
            and -MOST_NEAR_PX <= far_px * times <= MOST_FAR_PX
            and abs(turned_deg) * times <= MOST_TURN_DEG
        ):
            return times
    return LARGER[-1]


def _arrows(
    number: int, move: Mapping[str, Any], here: _Bar, goes: _Bar, unit: Unit, hubs: Hubs
) -> list[dict[str, str]]:
    """A turn shows at both ends, a slide in the middle below, a move nearer or farther beside it."""
    mm = move["left_end_mm"] if move["do"] == "turn" else move["mm"]
    label = _Written(str(number), with_unit(mm, unit), hubs)
    if move["do"] == "turn":
        down = 1 if move["left_end"] == "nearer" else -1
        left = min(here.end(-1)[0], goes.end(-1)[0]) - OFF_PX
        right = max(here.end(1)[0], goes.end(1)[0]) + OFF_PX
        return [_upright(left, here.end(-1)[1], down, label), _upright(right, here.end(1)[1], -down, label)]
    if move["do"] == "slide":
        return [_level(1 if move["to"] == "right" else -1, label)]
    # A slide's figure stands where it comes from; the other side is free.
    side = 1 if here.x <= goes.x else -1
    return [_beside(side, 1 if move["to"] == "nearer" else -1, label)]


def _upright(x: float, y: float, down: int, label: _Written) -> dict[str, str]:
    """An arrow along the vehicle, down (1) being nearer: the number at its tail, the length at its tip."""
    tip = y + down * ARROW_PX
    text = min(max(x, EDGE_PX), PAGE_PX - EDGE_PX), tip + down * 11
    return _arrow((x, y), (x, tip), label, (x, y - down * RING_PX), text, "middle")


def _beside(side: int, down: int, label: _Written) -> dict[str, str]:
    """The same arrow with number and length beside it."""
    x, half = CENTRE_PX + side * ASIDE_PX, down * ARROW_PX / 2
    ring, text = (x + side * (RING_PX + 5), STRIP_PX), (x + side * (TEXT_PX + 5), STRIP_PX)
    return _arrow((x, STRIP_PX - half), (x, STRIP_PX + half), label, ring, text, "start" if side > 0 else "end")


def _level(right: int, label: _Written) -> dict[str, str]:
    """An arrow across the vehicle that ends near the centre, number and length at its tail."""
    tip, tail = CENTRE_PX - right * 5, CENTRE_PX - right * (5 + ARROW_PX)
    ring, text = (tail - right * RING_PX, STRIP_PX), (tail - right * TEXT_PX, STRIP_PX)
    return _arrow((tail, STRIP_PX), (tip, STRIP_PX), label, ring, text, "end" if right > 0 else "start")


def _arrow(tail: Point, tip: Point, label: _Written, ring: Point, text: Point, anchor: str) -> dict[str, str]:
    tail, tip, ring, text = (_seen(point, label.hubs) for point in (tail, tip, ring, text))
    ux, uy = (tip[0] > tail[0]) - (tip[0] < tail[0]), (tip[1] > tail[1]) - (tip[1] < tail[1])
    half = HEAD_PX / 2
    base = tip[0] - ux * HEAD_PX, tip[1] - uy * HEAD_PX
    corners = (tip, (base[0] - uy * half, base[1] + ux * half), (base[0] + uy * half, base[1] - ux * half))
    return {
        **_line(tail, base),
        "head": " ".join(f"{px(x)},{px(y)}" for x, y in corners),
        "number": label.number,
        "number_x": px(ring[0]),
        "number_y": px(ring[1] + TO_BASELINE_PX),
        "ring_y": px(ring[1]),
        "label": label.length,
        "x": px(text[0]),
        "y": px(text[1] + TO_BASELINE_PX),
        "anchor": anchor,
    }


def _line(start: Point, end: Point) -> dict[str, str]:
    return {"x1": px(start[0]), "y1": px(start[1]), "x2": px(end[0]), "y2": px(end[1])}


def _alt(number: int, move: Mapping[str, Any], say: Say, unit: Unit) -> str:
    """`1. Left end 4 mm away from the vehicle, right end 4 mm nearer.`"""
    if move["do"] == "turn":
        return say(
            f"drawing-alt-turn-{move['left_end']}", number=str(number), length=with_unit(move["left_end_mm"], unit)
        )
    return say(f"drawing-alt-{move['do']}-{move['to']}", number=str(number), length=with_unit(move["mm"], unit))
