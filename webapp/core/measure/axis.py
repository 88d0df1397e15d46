"""The reference axis: the vehicle's centreline, its thrust line, and the angle between them."""

from dataclasses import dataclass
from math import atan2, degrees, sqrt

from ..errors import BadInput
from ..numbers import number, rounded
from .reading import Range

AXLES_APART_MM = Range("mm", 500, 10_000)  # from the shortest quadricycle to the longest van
SIDES_APART_MM = Range("mm", 300, 4_000)  # reference points of one axle, hub face to hub face or clamp to clamp
TOE_DEG = Range("deg", -5, 5)  # a wheel further out than that cannot be driven to the bay


@dataclass(frozen=True)
class Point:
    """A reference point on the floor."""

    x_mm: float
    y_mm: float


@dataclass(frozen=True)
class Axle:
    """The two reference points of one axle."""

    left: Point
    right: Point


@dataclass(frozen=True)
class RearToe:
    """The toe of each rear wheel, toe-in positive."""

    left_deg: float
    right_deg: float


@dataclass(frozen=True)
class Axis:
    """Turns are in the axes of the input, positive to the left; ``thrust_deg`` is from the centreline, positive right.

    Thrust angle and thrust line are None where the rear toe is not known.
    """

    centreline_deg: float
    thrust_deg: float | None
    thrust_line_deg: float | None
    origin: Point


def reference_axis(front: Axle, rear: Axle, toe: RearToe | None) -> Axis:
    """Return the line through the midpoints of both axles, and the line the rear wheels drive along.

    Thrust angle = (left rear toe - right rear toe) / 2; toe-in positive, so a positive thrust angle points right.
    Raises BadInput where the axles, or the two sides of one, are too near or too far apart, or are swapped.
    """
    origin, behind = _middle(front), _middle(rear)
    along = (origin.x_mm - behind.x_mm, origin.y_mm - behind.y_mm)
    _check_apart(along, "rear", "the middles of front and rear", AXLES_APART_MM)
    _check_sides(front, "front", along)
    _check_sides(rear, "rear", along)
    centreline_deg = degrees(atan2(along[1], along[0]))
    if toe is None:
        return Axis(centreline_deg, None, None, origin)
    thrust_deg = (toe.left_deg - toe.right_deg) / 2
    return Axis(centreline_deg, thrust_deg, _within_half_turn(centreline_deg - thrust_deg), origin)


def _middle(axle: Axle) -> Point:
    return Point((axle.left.x_mm + axle.right.x_mm) / 2, (axle.left.y_mm + axle.right.y_mm) / 2)


def _check_sides(axle: Axle, name: str, along: tuple[float, float]) -> None:
    across = (axle.left.x_mm - axle.right.x_mm, axle.left.y_mm - axle.right.y_mm)
    _check_apart(across, name, f"{name}.left and {name}.right", SIDES_APART_MM)
    if along[0] * across[1] - along[1] * across[0] <= 0:
        message = f"{name}.left lies to the right of {name}.right: left and right, or front and rear, are swapped"
        raise BadInput("sides-swapped", name, message)


def _check_apart(between: tuple[float, float], field: str, what: str, allowed: Range) -> None:
    gap_mm = sqrt(between[0] * between[0] + between[1] * between[1])
    if not allowed.low <= gap_mm <= allowed.high:
        message = f"{what} are {number(rounded(gap_mm, 1))} mm apart and must lie within {allowed} mm"
        raise BadInput("out-of-range", field, message)


def _within_half_turn(angle_deg: float) -> float:
    if angle_deg > 180:
        return angle_deg - 360
    return angle_deg + 360 if angle_deg <= -180 else angle_deg
