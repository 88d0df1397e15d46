"""What drawings of placed targets share: their shapes, their distances along the vehicle, their names."""

from collections.abc import Sequence

from .dimension import Mark, along, ladder
from .frame import Frame
from .marks import Label, Point, Spot
from .vehicle import Outline
from .words import NEARLY_MM, Placed

HALF_FIGURE_PX = 27.0
"""A figure of five digits in the middle of its line needs this much on each side."""

BOARD_MM = 420.0
"""How wide a target is drawn whose size nobody gave."""


def wide_mm(one: Placed) -> float:
    return float(one["size_mm"][0]) if one["size_mm"] else BOARD_MM


def deep_mm(one: Placed) -> float:
    """How far a target that lies on the floor reaches along the vehicle."""
    return float(one["size_mm"][1]) if one["size_mm"] else BOARD_MM


def middle(frame: Frame, one: Placed) -> Point:
    return frame.at(one["x_mm"], one["y_mm"])


def axle_end(outline: Outline, frame: Frame, side: int, x_mm: float = 0.0) -> Point:
    """An axle's end at the body's edge, where distances along the vehicle start. side: 1 left, -1 right.

    x_mm: where the axle lies, the front one where nothing is said.
    """
    track_mm = outline["track_rear_mm" if x_mm < 0 else "track_front_mm"]
    return frame.at(x_mm, side * max(outline["width_mm"], track_mm) / 2)


def distances(
    outline: Outline, frame: Frame, places_mm: Sequence[tuple[float, float]], edge_px: float, words: str
) -> list[Mark]:
    """Dimension how far ahead of the front axle each place lies, at the sheet's edge; (x, y) is a place's near end.

    One distance has an ordinary dimension line, several are running dimensions from the axle, named by `words`.
    """
    nearest: dict[float, float] = {}
    for x, y in places_mm:
        if abs(x) > NEARLY_MM:
            nearest[x] = max(y, nearest.get(x, y))
    rungs = [(frame.at(x, y), x) for x, y in nearest.items()]
    origin = axle_end(outline, frame, 1)
    if len(rungs) == 1:
        x = max(edge_px, HALF_FIGURE_PX)
        return [*along(x, origin, rungs[0][0], abs(rungs[0][1])), *_named(words, x, origin)]
    return ladder(edge_px, origin, rungs, words) if rungs else []


def _named(words: str, x: float, origin: Point) -> list[Mark]:
    """The name of the axle, along the extension line that starts there."""
    if not words:
        return []
    room = origin[0] - x - 10
    spots = (Spot(x - 3, origin[1] + shift, "start", room, hangs) for shift, hangs in ((4, "top"), (-4, "bottom")))
    return [Label(words, tuple(spots), remark=True)]
