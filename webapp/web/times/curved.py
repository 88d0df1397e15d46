"""Where the dots and the line of a learning curve lie."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from webapp.core.learning import Curve

from .charts import RIGHT, RUN_LEFT, axis_for

HEIGHT_PX = 150.0
POINTS = 24


@dataclass(frozen=True)
class Curved:
    """Dots (x in per cent, y in pixels, whether beyond the scale), the curve as a polyline in a box 100 wide, ticks."""

    height_px: float
    dots: tuple[tuple[float, float, bool], ...]
    line: str
    ticks: tuple[tuple[float, float], ...]
    last: int


def curved(nth: Sequence[int], seconds: Sequence[float], found: Curve | None) -> Curved | None:
    """Lay out somebody's jobs in order; None where there is none."""
    if not seconds:
        return None
    usual = float(np.quantile(seconds, 0.9))
    axis = axis_for([], max(usual * 1.15, found.at(nth[0]) if found else 0.0))
    last = max(nth)

    def across(number: float) -> float:
        return round(RUN_LEFT + (RIGHT - RUN_LEFT) * (number - 1) / max(last - 1, 1), 2)

    along = np.geomspace(min(nth), last, POINTS).tolist() if found else []
    return Curved(
        HEIGHT_PX,
        tuple((across(n), axis.height(s, HEIGHT_PX), s > axis.top_s) for n, s in zip(nth, seconds, strict=True)),
        " ".join(f"{across(n)},{axis.height(found.at(n), HEIGHT_PX)}" for n in along) if found else "",
        tuple((axis.height(tick, HEIGHT_PX), tick) for tick in axis.ticks_s),
        last,
    )
