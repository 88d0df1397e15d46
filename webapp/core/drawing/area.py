"""The clear area round the vehicle: how much ahead, behind and on each side, and how large that makes it."""

from collections.abc import Mapping

from .dimension import Mark, across, along
from .frame import fit
from .lettering import unit, with_unit
from .marks import Scene, Stroke
from .vehicle import Outline, centreline, front_mm, rear_mm, vehicle
from .words import Say, seen

TALLEST_PX = 340.0
OFF_PX = 28.0
"""How far right of the centreline the lengths ahead and behind are dimensioned."""


def area(outline: Outline, given: Mapping[str, float], say: Say) -> Scene:
    """given: ahead_mm, behind_mm and each_side_mm, from the vehicle's outline; without it the vehicle alone."""
    ahead, behind, side = (float(given.get(name, 0.0)) for name in ("ahead_mm", "behind_mm", "each_side_mm"))
    front, rear, half = front_mm(outline) + ahead, rear_mm(outline) - behind, outline["width_mm"] / 2 + side
    frame, height = fit(front, rear, half, (52.0, 36.0, 14.0, 10.0), TALLEST_PX, most=0.06)
    corners = frame.all(((front, half), (front, -half), (rear, -half), (rear, half)))
    (left, top), (right, bottom) = corners[0], corners[2]
    marks: list[Mark] = [*vehicle(outline, frame), centreline(frame, top + 4, bottom - 4)]
    if not given:
        return Scene(height, tuple(marks), (seen(say),))
    marks.append(Stroke("clear", corners, closed=True))
    nose, tail = frame.at(front_mm(outline), 0)[1], frame.at(rear_mm(outline), 0)[1]
    off = frame.x0 + OFF_PX
    marks += along(off, (off, top), (frame.x0, nose), ahead) if ahead else []
    marks += along(off, (frame.x0, tail), (off, bottom), behind) if behind else []
    level = frame.at(-outline["wheelbase_mm"] * 0.55, 0)[1]
    flank = outline["width_mm"] / 2 * frame.scale
    if side:
        marks += across(level, (left, level), (frame.x0 - flank, level), side)
        marks += across(level, (frame.x0 + flank, level), (right, level), side)
    marks += across(22.0, (left, top), (right, top), 2 * half)
    marks += along(27.0, (left, top), (left, bottom), front - rear)
    words = say(
        "drawing-alt-area",
        ahead=with_unit(ahead, unit()),
        behind=with_unit(behind, unit()),
        side=with_unit(side, unit()),
        long=with_unit(front - rear, unit()),
        wide=with_unit(2 * half, unit()),
    )
    return Scene(height, tuple(marks), (seen(say), words), seat=frame.seat)
