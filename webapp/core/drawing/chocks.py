"""Where the chocks go: before and behind each wheel that is chocked."""

from collections.abc import Mapping, Sequence
from typing import Any

from .dimension import Mark
from .frame import fit
from .marks import PAGE_PX, Box, Label, Scene, Spot, Stroke
from .vehicle import TYRE_LONG_MM, TYRE_WIDE_MM, Outline, front_mm, rear_mm, vehicle, wheels_mm
from .words import Say, seen

TALLEST_PX = 256.0
CHOCK_LONG_MM, CHOCK_WIDE_MM = 270.0, 230.0
GAP_MM = 40.0
USUAL = ("rear-left", "rear-right")


def chocks(outline: Outline, given: Mapping[str, Any], say: Say) -> Scene:
    """given: `wheels`, a list of front-left, front-right, rear-left, rear-right; without it both rear wheels."""
    chosen: Sequence[str] = given.get("wheels") or USUAL
    frame, height = fit(
        front_mm(outline) + 100.0,
        rear_mm(outline) - 100.0,
        outline["width_mm"] / 2,
        (108.0, 8.0, 108.0, 8.0),
        TALLEST_PX,
        most=0.052,
    )
    marks: list[Mark] = [*vehicle(outline, frame)]
    middles = {name: wheels_mm(outline)[name] for name in chosen}
    for x, y in middles.values():
        marks.append(Stroke("solid", frame.rectangle((x, y), TYRE_LONG_MM, TYRE_WIDE_MM), closed=True))
        off = (TYRE_LONG_MM + CHOCK_LONG_MM) / 2 + GAP_MM
        marks += [
            Stroke("place", frame.rectangle((x + shift, y), CHOCK_LONG_MM, CHOCK_WIDE_MM), closed=True)
            for shift in (off, -off)
        ]
    words = []
    for name, (x, y) in middles.items():
        wheel, side = say(f"drawing-wheel-{name}"), 1 if y > 0 else -1
        tyre = Box.about(frame.rectangle((x, y), TYRE_LONG_MM, TYRE_WIDE_MM))
        body_px = frame.at(0, side * outline["width_mm"] / 2)[0]
        text = f"{wheel}\n{say('drawing-chocks')}"
        marks.append(Label(text, _outside(body_px, frame.at(x, y)[1], side), of=tyre, name=True))
        words.append(say("drawing-alt-chocks", wheel=wheel))
    return Scene(height, tuple(marks), (seen(say), *words))


def _outside(body_px: float, y: float, side: int) -> tuple[Spot, ...]:
    """Beside the body, at the wheel's level."""
    x = body_px - side * 8
    room = (x if side > 0 else PAGE_PX - x) - 5
    anchor = "end" if side > 0 else "start"
    return tuple(Spot(x, y + shift, anchor, room) for shift in (0, -16, 16, -34, 34))
