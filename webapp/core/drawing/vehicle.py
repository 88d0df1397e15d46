"""The vehicle from above, drawn from the six figures of its outline."""

from collections.abc import Mapping

from .frame import Frame
from .marks import Dot, Point, Stroke

Outline = Mapping[str, float]

# The left half of a body seen from above: (part of the length from the front, part of half the width).
BODY = (
    *((0.0, 0.0), (0.003, 0.34), (0.012, 0.63), (0.034, 0.83), (0.075, 0.945), (0.13, 0.99), (0.22, 1.0)),
    *(
        (0.40, 0.985),
        (0.60, 0.985),
        (0.80, 0.985),
        (0.90, 0.95),
        (0.955, 0.86),
        (0.985, 0.66),
        (0.997, 0.36),
        (1.0, 0.0),
    ),
)
# A point given twice is a corner in the curve.
WINDSCREEN = (
    *((0.262, 0.0), (0.269, 0.36), (0.289, 0.64), (0.31, 0.78), (0.31, 0.78)),
    *((0.415, 0.665), (0.415, 0.665), (0.401, 0.34), (0.396, 0.0)),
)
REAR_WINDOW = (
    *((0.80, 0.0), (0.803, 0.30), (0.815, 0.62), (0.815, 0.62)),
    *((0.905, 0.70), (0.905, 0.70), (0.918, 0.36), (0.922, 0.0)),
)
BONNET = ((0.035, 0.55), (0.15, 0.70), (0.29, 0.80))
ROOF = ((0.415, 0.68), (0.60, 0.70), (0.80, 0.64))
MIRROR = ((0.315, 0.99), (0.322, 1.10), (0.345, 1.12), (0.352, 0.99))
TYRE_LONG_MM, TYRE_WIDE_MM = 640.0, 215.0


def wheels_mm(outline: Outline) -> dict[str, tuple[float, float]]:
    """Return the middle of each wheel in the vehicle's axes."""
    rear, front_half, rear_half = -outline["wheelbase_mm"], outline["track_front_mm"] / 2, outline["track_rear_mm"] / 2
    return {
        "front-left": (0.0, front_half),
        "front-right": (0.0, -front_half),
        "rear-left": (rear, rear_half),
        "rear-right": (rear, -rear_half),
    }


def front_mm(outline: Outline) -> float:
    return outline["front_overhang_mm"]


def rear_mm(outline: Outline) -> float:
    return outline["front_overhang_mm"] - outline["length_mm"]


def vehicle(outline: Outline, frame: Frame, bonnet: bool = True) -> list[Stroke | Dot]:
    """Return the marks of a vehicle: body and mirrors, glass, and the wheels dashed, since the body hides them."""

    def half(points: tuple[tuple[float, float], ...], side: int) -> tuple[Point, ...]:
        return frame.all(
            (front_mm(outline) - along * outline["length_mm"], side * part * outline["width_mm"] / 2)
            for along, part in points
        )

    def whole(points: tuple[tuple[float, float], ...]) -> tuple[Point, ...]:
        back = [point for point in reversed(points) if point[1]]
        return half(points, 1) + half(tuple(back), -1)

    marks: list[Stroke | Dot] = [Stroke("body", half(MIRROR, side), closed=True) for side in (1, -1)]
    marks.append(Stroke("body", whole(BODY), closed=True, smooth=True))
    marks += [Stroke("detail", whole(glass), closed=True, smooth=True) for glass in (WINDSCREEN, REAR_WINDOW)]
    marks += [Stroke("detail", half(ROOF, side), smooth=True) for side in (1, -1)]
    if bonnet:
        marks += [Stroke("detail", half(BONNET, side), smooth=True) for side in (1, -1)]
    marks += [
        Stroke("dash", frame.rectangle(middle, TYRE_LONG_MM, TYRE_WIDE_MM), closed=True)
        for middle in wheels_mm(outline).values()
    ]
    return marks


def centreline(frame: Frame, top_px: float, bottom_px: float) -> Stroke:
    """The dash-dot line from front to back; it starts a little off the sheet's edge."""
    return Stroke("centre", ((frame.x0, top_px), (frame.x0, bottom_px)))
