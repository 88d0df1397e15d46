"""Floor survey: the least-squares plane z = a + b·x + c·y through height readings, and its height at a spot."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import fsum, sqrt

from ..errors import BadInput
from ..numbers import number
from .hull import surrounds
from .reading import Range
from .student import exceeds, widening

BAY_MM = Range("mm", -50_000, 50_000)  # no bay is longer than 50 m from the vehicle's origin
HEIGHT_MM = Range("mm", -5_000, 5_000)  # the longest levelling staff is 5 m
FLOOR_U_MM = Range("mm", 0.001, 50)  # below 1 µm nobody reads a scale, above 50 mm nobody surveys a floor
MOST_POINTS = 1_000
NARROWEST = 1e-6
"""Points count as lying on one line when the band they fill is narrower than about 1/1000 of its length."""


@dataclass(frozen=True)
class FloorPoint:
    """One height reading, upwards positive, from any fixed datum."""

    x_mm: float
    y_mm: float
    height_mm: float


@dataclass(frozen=True)
class Spot:
    """A place on the floor."""

    x_mm: float
    y_mm: float


@dataclass(frozen=True)
class Plane:
    """A fitted plane. ``middle`` is the readings' centre, ``spread`` the inverse of their scatter about it."""

    a_mm: float
    along_mm_per_m: float
    across_mm_per_m: float
    count: int
    middle: Spot
    spread: tuple[float, float, float]

    def height_mm(self, x_mm: float, y_mm: float) -> float:
        return self.a_mm + (self.along_mm_per_m * x_mm + self.across_mm_per_m * y_mm) / 1000

    def leverage(self, x_mm: float, y_mm: float) -> float:
        """Return vᵀ(AᵀA)⁻¹v for v = (1, x, y): the variance of the plane's height there, in units of s²."""
        x, y = x_mm - self.middle.x_mm, y_mm - self.middle.y_mm
        xx, xy, yy = self.spread
        return 1 / self.count + xx * x * x + 2 * xy * x * y + yy * y * y


@dataclass(frozen=True)
class SpotHeight:
    """The plane's height at a spot and its standard uncertainty."""

    height_mm: float
    u_mm: float


@dataclass(frozen=True)
class FloorSurvey:
    """What the survey says. Residuals are reading minus plane, in the order of the readings; ``s_mm`` is the scatter
    that the uncertainties are worked out with.
    """

    plane: Plane
    residuals_mm: tuple[float, ...]
    rms_mm: float
    s_mm: float
    spots: tuple[SpotHeight, ...]

    @property
    def largest_residual_mm(self) -> float:
        return max(abs(residual) for residual in self.residuals_mm)


def survey_floor(points: Sequence[FloorPoint], spots: Sequence[Spot], u_mm: float) -> FloorSurvey:
    """Fit the floor and state its height at each spot.

    u_mm: standard uncertainty of one height reading. It is the scatter s used for the spots, unless the RMS (n - 3
    degrees of freedom; 0 for three points, which any plane fits) is larger than it explains: then the floor is less
    even than the readings are sure, and the RMS counts, widened for as few points as there are.
    Raises BadInput for fewer than 3 points, points on one line, and a spot that the points do not surround.
    """
    plane = fit_plane(points)
    for index, spot in enumerate(spots):
        if not surrounds([(p.x_mm, p.y_mm) for p in points], (spot.x_mm, spot.y_mm)):
            raise _not_surrounded(index, spot)
    residuals = tuple(p.height_mm - plane.height_mm(p.x_mm, p.y_mm) for p in points)
    spare = len(points) - 3
    rms_mm = sqrt(fsum(r * r for r in residuals) / spare) if spare else 0.0
    s_mm = rms_mm * widening(spare) if spare and exceeds(rms_mm, u_mm, spare) else u_mm
    heights = tuple(
        SpotHeight(plane.height_mm(s.x_mm, s.y_mm), s_mm * sqrt(plane.leverage(s.x_mm, s.y_mm))) for s in spots
    )
    return FloorSurvey(plane, residuals, rms_mm, s_mm, heights)


def fit_plane(points: Sequence[FloorPoint]) -> Plane:
    """Return the least-squares plane. Working from the points' centre keeps the sums well-conditioned."""
    count = len(points)
    if count < 3:
        raise BadInput("too-few-points", "points", f"points has {count} readings, but a plane needs at least 3")
    x0, y0 = fsum(p.x_mm for p in points) / count, fsum(p.y_mm for p in points) / count
    z0 = fsum(p.height_mm for p in points) / count
    away = [(p.x_mm - x0, p.y_mm - y0, p.height_mm - z0) for p in points]
    xx, xy, yy = fsum(x * x for x, _, _ in away), fsum(x * y for x, y, _ in away), fsum(y * y for _, y, _ in away)
    xz, yz = fsum(x * z for x, _, z in away), fsum(y * z for _, y, z in away)
    area = xx * yy - xy * xy
    if area <= NARROWEST * (xx + yy) * (xx + yy):
        message = "points lie on one line: take readings on both sides of the vehicle, so that the fall across is seen"
        raise BadInput("points-on-one-line", "points", message)
    b, c = (yy * xz - xy * yz) / area, (xx * yz - xy * xz) / area
    return Plane(z0 - b * x0 - c * y0, 1000 * b, 1000 * c, count, Spot(x0, y0), (yy / area, -xy / area, xx / area))


def _not_surrounded(index: int, spot: Spot) -> BadInput:
    field = f"spots[{index}]"
    where = f"({number(spot.x_mm)}, {number(spot.y_mm)})"
    message = f"{field}={where} must be surrounded by the points: take readings beyond it, or move the spot inside them"
    return BadInput("spot-not-surrounded", field, message)
