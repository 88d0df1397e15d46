"""Squaring a stand with four tapes: where it stands, how sure that is, and whether the four fit together.

The axes are the vehicle's (ISO 8855: x forward, y to the left), with their origin midway between the two references
that the tapes start from. Before the vehicle these are the front hubs, behind it the rear hubs. References A_L, A_R lie
at (0, ±track/2). The marks on the stand's bar, bar/2 either side of its middle (x, y), are
    S_L = (x - (bar/2) sin θ, y + (bar/2) cos θ)        S_R = (x + (bar/2) sin θ, y - (bar/2) cos θ)
with θ positive when the stand is turned left (counter-clockwise from above). The distance is x before the vehicle and
-x behind it. Left and right are the vehicle's on either side, whichever way the person at the tape faces.

Behind, all of this is the front's picture in a mirror across the line through the references: x and θ change their
sign, y and the four lengths do not. So it is solved as if it stood before the vehicle, and its turn is turned over.

Four readings, three unknowns: the spare one shows that something was misread (χ², one degree of freedom), but not which
tape it was.
"""

from dataclasses import dataclass
from math import asin, cos, degrees, hypot, radians, sin, sqrt
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from ..errors import BadInput
from ..numbers import number
from .reading import Range

TRACK_MM = Range("mm", 300, 4_000)  # between two reference points on the vehicle
BAR_MM = Range("mm", 100, 5_000)  # between two marks; no bay takes a wider bar
TAPE_MM = Range("mm", 50, 30_000)  # a tape's hook needs 50 mm; the longest workshop tape is 30 m
TAPE_U_MM = Range("mm", 0.001, 50)
DISTANCE_MM = Range("mm", 100, 30_000)
OFFSET_MM = Range("mm", -5_000, 5_000)
YAW_DEG = Range("deg", -10, 10)  # no target is asked for further askew than this

Hubs = Literal["front", "rear"]
FRONT: Hubs = "front"
REAR: Hubs = "rear"
TURN = {FRONT: 1, REAR: -1}
"""What the mirror makes of a turn to the left."""

LARGEST_MISFIT = 6.63
"""The 99 % point of χ² with one degree of freedom: a good set of four exceeds it once in a hundred."""

ROUNDS = 60
SMALLEST_STEP_MM = 1e-9
NO_WORSE, NO_WORSE_SHARE = 1e-6, 1e-9
"""A misfit that grew by no more has not grown: so much is left over from rounding, and tells nobody anything."""

WILDLY = 2.0
"""A triangle of tapes counts as a slip of the pen, not of the tape, where its sides miss by this factor."""

Vector = NDArray[np.float64]


@dataclass(frozen=True)
class Tapes:
    """One value for each tape, in mm; first word the reference on the vehicle, second the mark on the bar."""

    left_left: float
    right_right: float
    left_right: float
    right_left: float

    def as_vector(self) -> Vector:
        return np.array([self.left_left, self.right_right, self.left_right, self.right_left], dtype=np.float64)


TAPE_NAMES = ("left_left", "right_right", "left_right", "right_left")


@dataclass(frozen=True)
class Pose:
    """Where the bar's middle stands: how far ahead of the front references or behind the rear ones, and how far left of
    the centreline; and its turn to the left, seen from above.
    """

    distance_mm: float
    offset_mm: float
    yaw_deg: float


@dataclass(frozen=True)
class Squared:
    """The pose and its standard uncertainties (None where the four do not fit), and the misfit χ²."""

    fits: bool
    misfit: float
    pose: Pose | None
    u: Pose | None


def square_stand(track_mm: float, bar_mm: float, tapes: Tapes, u: Tapes, hubs: Hubs = FRONT) -> Squared:
    """Return the stand's pose by weighted non-linear least squares.

    u: standard uncertainty of each tape, mm. hubs: which references the tapes start from. Raises BadInput
    (impossible-geometry) where no stand could give these readings even roughly. Readings that merely do not fit
    together are a result, not an error.
    """
    _check_triangles(track_mm, bar_mm, tapes)
    readings, weights = tapes.as_vector(), u.as_vector() ** -2
    at = _settle(track_mm, bar_mm, readings, weights)
    model, slope = _tapes_at(track_mm, bar_mm, at)
    misfit = float(weights @ (readings - model) ** 2)
    if misfit > LARGEST_MISFIT:
        return Squared(False, misfit, None, None)
    if at[0] <= 0 or abs(at[2]) > radians(90):
        message = (
            "the four tapes put the stand behind the references: check which end is which"
            if hubs == FRONT
            else "the four tapes put the stand ahead of the references: check which end is which"
        )
        raise _impossible("tapes_mm", message)
    spread = np.sqrt(np.diag(np.linalg.inv(slope.T @ (weights[:, None] * slope))))
    pose = Pose(float(at[0]), float(at[1]), TURN[hubs] * degrees(at[2]))
    return Squared(True, misfit, pose, Pose(float(spread[0]), float(spread[1]), degrees(spread[2])))


def tapes_at(track_mm: float, bar_mm: float, pose: Pose, hubs: Hubs = FRONT) -> Tapes:
    """Return the readings that a stand in this pose gives."""
    at = np.array([pose.distance_mm, pose.offset_mm, radians(TURN[hubs] * pose.yaw_deg)])
    return Tapes(*(float(length) for length in _tapes_at(track_mm, bar_mm, at)[0]))


def _tapes_at(track_mm: float, bar_mm: float, at: Vector) -> tuple[Vector, Vector]:
    """Return the four lengths at (x, y, θ in radians), shape (4,), and their derivatives, shape (4, 3)."""
    x, y, yaw = at
    lengths, slopes = np.empty(4), np.empty((4, 3))
    for row, (reference, mark) in enumerate(((1, 1), (-1, -1), (1, -1), (-1, 1))):
        half = mark * bar_mm / 2
        ahead, aside = x - half * sin(yaw), y + half * cos(yaw) - reference * track_mm / 2
        length = max(hypot(ahead, aside), 1e-6)
        lengths[row] = length
        slopes[row] = (ahead / length, aside / length, -half * (ahead * cos(yaw) + aside * sin(yaw)) / length)
    return lengths, slopes


def _settle(track_mm: float, bar_mm: float, readings: Vector, weights: Vector) -> Vector:
    """Gauss-Newton from the closed-form start; damped only where a full step would make the misfit worse."""
    at, damping = _start(track_mm, bar_mm, readings), 0.0
    model, slope = _tapes_at(track_mm, bar_mm, at)
    for _ in range(ROUNDS):
        normal = slope.T @ (weights[:, None] * slope)
        step = np.linalg.solve(normal + damping * np.diag(np.diag(normal)), slope.T @ (weights * (readings - model)))
        if max(abs(step[0]), abs(step[1]), abs(step[2]) * bar_mm) < SMALLEST_STEP_MM:
            return at + step
        tried, tried_slope = _tapes_at(track_mm, bar_mm, at + step)
        misfit, before = weights @ (readings - tried) ** 2, weights @ (readings - model) ** 2
        if misfit > before + before * NO_WORSE_SHARE + NO_WORSE:
            damping = max(10 * damping, 1e-3)
        else:
            at, model, slope, damping = at + step, tried, tried_slope, damping / 10 if damping > 1e-6 else 0.0
    message = "no place of the stand comes near these four readings: measure again"
    raise _impossible("tapes_mm", message)


def _start(track_mm: float, bar_mm: float, readings: Vector) -> Vector:
    """Solve the four squared lengths for x, y and θ, leaving the spare equation aside."""
    ll, rr, lr, rl = readings**2
    y = (rl - lr - ll + rr) / (4 * track_mm)
    reach_squared = (ll + rr + lr + rl) / 4 - (track_mm**2 + bar_mm**2) / 4
    x = sqrt(max(reach_squared - y * y, (0.05 * bar_mm) ** 2))
    reach = hypot(x, y)
    lean = (rl - lr + ll - rr) / (4 * bar_mm * reach)
    return np.array([x, y, asin(y / reach) - asin(min(1.0, max(-1.0, lean)))])


def _check_triangles(track_mm: float, bar_mm: float, tapes: Tapes) -> None:
    sides = (
        ("left_left", "left_right", "bar_mm", bar_mm),
        ("right_right", "right_left", "bar_mm", bar_mm),
        ("left_left", "right_left", "track_mm", track_mm),
        ("right_right", "left_right", "track_mm", track_mm),
    )
    for one, other, third, base in sides:
        a, b = getattr(tapes, one), getattr(tapes, other)
        if abs(a - b) > WILDLY * base or a + b < base / WILDLY:
            readings = f"tapes_mm.{one}={number(a)} and tapes_mm.{other}={number(b)}"
            message = f"{readings} cannot meet with {third}={number(base)}: measure these two again"
            raise _impossible(f"tapes_mm.{one}", message)


def _impossible(field: str, message: str) -> BadInput:
    return BadInput("impossible-geometry", field, message)
