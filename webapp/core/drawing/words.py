"""The same in words: what a drawing's text alternative says about a place."""

from collections.abc import Callable, Mapping
from typing import Any

from .lettering import figure, length, unit, with_unit

Say = Callable[..., str]
Placed = Mapping[str, Any]

NEARLY_MM = 0.5
NEARLY_DEG = 0.05


def seen(say: Say) -> str:
    return say("drawing-seen-from-above", unit=unit())


def where(x_mm: float, y_mm: float, say: Say) -> str:
    """`1 500 mm ahead of the front axle, 450 mm left of the centreline`."""
    return f"{_along(x_mm, say)}, {aside(y_mm, say)}"


def _along(x_mm: float, say: Say) -> str:
    if abs(x_mm) < NEARLY_MM:
        return say("drawing-level-with-front-axle")
    return say("drawing-ahead" if x_mm > 0 else "drawing-behind", length=with_unit(abs(x_mm), unit()))


def aside(y_mm: float, say: Say) -> str:
    if abs(y_mm) < NEARLY_MM:
        return say("drawing-on-centreline")
    return say("drawing-left" if y_mm > 0 else "drawing-right", length=with_unit(abs(y_mm), unit()))


def turned(yaw_deg: float, say: Say) -> str:
    """How far something is turned, or nothing where it is square."""
    if abs(yaw_deg) < NEARLY_DEG:
        return ""
    return say("drawing-turned-left" if yaw_deg > 0 else "drawing-turned-right", deg=figure(abs(yaw_deg), 2))


def high(height_mm: float | None, say: Say) -> str:
    return "" if height_mm is None else say("drawing-centre-high", figure=length(height_mm))


def placed(one: Placed, say: Say) -> str:
    """One sentence for one placement: what, in which spot, where, how high, how turned."""
    parts = (where(one["x_mm"], one["y_mm"], say), high(one["height_mm"], say), turned(one["yaw_deg"] or 0.0, say))
    place = ", ".join(part for part in parts if part)
    return say("drawing-alt-placed", target=one["target_name"] or "", spot=one["spot_name"] or "", place=place)


def name_of(one: Placed, say: Say) -> str:
    """What a placement is called in a drawing: its spot, else its target."""
    return written(one["spot_name"] or one["target_name"] or "", say)


def written(name: str, say: Say) -> str:
    """A name of the library as it is written in a drawing; `say` has it in its own language."""
    return say("drawing-name", what=name)


def tag(one: Placed, say: Say) -> str:
    """What stands beside a target in the drawing: its spot, how high, how turned."""
    parts = (name_of(one, say), high(one["height_mm"], say))
    return "\n".join(part for part in (*parts, turned(one["yaw_deg"] or 0.0, say)) if part)
