"""From the vehicle's axes (ISO 8855: x forward, y to the left, mm) to the page: the vehicle faces up."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import cos, radians, sin

from .marks import Point


@dataclass(frozen=True)
class Frame:
    """`scale` in px per mm; the vehicle's origin, on the floor between the front reference points, lies at (x0, y0)."""

    scale: float
    x0: float
    y0: float

    @property
    def seat(self) -> tuple[float, float, float]:
        return self.scale, self.x0, self.y0

    def at(self, x_mm: float, y_mm: float) -> Point:
        return self.x0 - y_mm * self.scale, self.y0 - x_mm * self.scale

    def all(self, points_mm: Iterable[tuple[float, float]]) -> tuple[Point, ...]:
        return tuple(self.at(*point) for point in points_mm)

    def rectangle(
        self, centre_mm: tuple[float, float], deep_mm: float, wide_mm: float, yaw_deg: float = 0.0
    ) -> tuple[Point, ...]:
        """Return the corners of a rectangle, `deep` along x and `wide` along y, turned left by yaw."""
        turn = radians(yaw_deg)
        corners = ((deep_mm / 2 * i, wide_mm / 2 * j) for i, j in ((1, 1), (1, -1), (-1, -1), (-1, 1)))
        return self.all(
            (centre_mm[0] + x * cos(turn) - y * sin(turn), centre_mm[1] + x * sin(turn) + y * cos(turn))
            for x, y in corners
        )


def fit(
    ahead_mm: float,
    behind_mm: float,
    aside_mm: float,
    margins_px: tuple[float, float, float, float],
    tallest_px: float,
    most: float = 0.085,
) -> tuple[Frame, float]:
    """Return a frame that shows x from `behind` to `ahead` and y to `aside` on both sides, and the page's height.

    Margins: left, top, right, bottom. The page grows to `tallest_px`, and the scale to `most` px per mm at the most.
    """
    left, top, right, bottom = margins_px
    wide = 330.0 - left - right
    scale = min(most, wide / (2 * aside_mm), (tallest_px - top - bottom) / (ahead_mm - behind_mm))
    frame = Frame(scale, left + wide / 2, top + ahead_mm * scale)
    return frame, frame.y0 - behind_mm * scale + bottom
