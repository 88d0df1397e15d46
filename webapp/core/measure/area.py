"""The working area: whether the floor that calibrations need fits a bay, how closely, and how to make it fit.

Polygons in mm in vehicle axes, as the vehicle stands in its usual place: x forward, y to the left. The area needed is
the union of what each calibration needs; the bay is a polygon less its obstacles (pillars, benches, a door's swing).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil
from typing import Any

from shapely import MultiPoint, Point, Polygon, box, unary_union
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from ..errors import BadInput
from ..numbers import rounded

XY = tuple[float, float]
TOUCHING_MM = 0.5
"""What overlaps by no more only touches: whole millimetres are chalked, and no finer."""
FEWEST_CORNERS, MOST_CORNERS = 3, 100


@dataclass(frozen=True)
class Obstacle:
    """Something that stands in the bay, by its name and its corners on the floor."""

    name: str
    corners: tuple[XY, ...]


@dataclass(frozen=True)
class Bay:
    """The corners of a bay's floor, in order, and what stands on it."""

    corners: tuple[XY, ...]
    obstacles: tuple[Obstacle, ...] = ()


@dataclass(frozen=True)
class Fit:
    """Whether the area fits. ``clearance_mm`` is the least one, at (x_mm, y_mm) on the area's edge, to the obstacle of
    the name ``by`` or, where that is None, to the bay's own edge; negative by how much the area reaches beyond.
    ``shift`` is the smallest move of the vehicle (x forward, y left) with which it fits, in whole mm; None where it
    fits as it is, and where no move helps.
    """

    fits: bool
    clearance_mm: float
    x_mm: float
    y_mm: float
    by: str | None
    shift: tuple[int, int] | None


def polygon(corners: Sequence[XY], field: str) -> Polygon:
    """A polygon with an inside. Raises BadInput where it has too few or too many corners, or crosses itself."""
    if not FEWEST_CORNERS <= len(corners) <= MOST_CORNERS:
        message = f"{field} has {len(corners)} corners; give {FEWEST_CORNERS} to {MOST_CORNERS}"
        raise BadInput("corners", field, message)
    made = Polygon(corners)
    if not made.is_valid or made.area <= 0:
        message = f"{field} crosses itself or has no inside: give its corners in the order in which you walk round it"
        raise BadInput("polygon", field, message)
    return made


def rectangle(outline: Mapping[str, float], area: Mapping[str, float]) -> tuple[XY, ...]:
    """The corners of the floor that one calibration needs round a vehicle of this outline."""
    ahead = outline["front_overhang_mm"] + area["ahead_mm"]
    behind = outline["front_overhang_mm"] - outline["length_mm"] - area["behind_mm"]
    half = outline["width_mm"] / 2 + area["each_side_mm"]
    return ((ahead, half), (ahead, -half), (behind, -half), (behind, half))


def fit(bay: Bay, areas: Sequence[Sequence[XY]]) -> Fit:
    """Return how the union of the areas lies in the bay. Raises BadInput for a shape that is none."""
    parts = [polygon(corners, f"areas[{place}]") for place, corners in enumerate(areas)]
    if not parts:
        raise BadInput("no-area", "areas", "areas is empty: give the area of at least one calibration")
    floor = polygon(bay.corners, "bay")
    barriers = [(one.name, polygon(one.corners, f"obstacles[{n}]")) for n, one in enumerate(bay.obstacles)]
    need, free = unary_union(parts), floor.difference(unary_union([shape for _name, shape in barriers]))
    if free.buffer(TOUCHING_MM, join_style="mitre").covers(need):
        clearance, at, by = _nearest(need, floor, barriers)
        return Fit(True, rounded(clearance, 1), rounded(at.x, 1), rounded(at.y, 1), by, None)
    depth, at, by = _deepest(need, floor, barriers)
    return Fit(False, rounded(-depth, 1), rounded(at.x, 1), rounded(at.y, 1), by, _smallest_shift(parts, need, free))


def _nearest(
    need: BaseGeometry, floor: Polygon, barriers: Sequence[tuple[str, Polygon]]
) -> tuple[float, Point, str | None]:
    """The least clearance, the place on the area's edge, and what is so near."""
    around: list[tuple[str | None, BaseGeometry]] = [(None, floor.boundary), *barriers]
    by, shape = min(around, key=lambda one: need.distance(one[1]))
    at = nearest_points(need.boundary, shape)[0]
    return need.distance(shape), at, by


def _deepest(
    need: BaseGeometry, floor: Polygon, barriers: Sequence[tuple[str, Polygon]]
) -> tuple[float, Point, str | None]:
    """How far the area reaches beyond the bay's edge or into an obstacle, where, and into which."""
    beyond: list[tuple[str | None, BaseGeometry, BaseGeometry]] = [(None, need.difference(floor), floor)]
    beyond += [(name, need.intersection(shape), need.difference(shape)) for name, shape in barriers]
    found = [
        (max(corner.distance(need.boundary), 0.0 if rest.is_empty else corner.distance(rest)), corner, name)
        for name, inside, rest in beyond
        for piece in getattr(inside, "geoms", [inside])
        if isinstance(piece, Polygon) and not piece.is_empty
        for corner in map(Point, piece.exterior.coords)
    ]
    return max(found, key=lambda one: one[0])


def _smallest_shift(parts: Sequence[Polygon], need: BaseGeometry, free: BaseGeometry) -> tuple[int, int] | None:
    """The shortest move in whole mm that brings the area onto the free floor.

    A move is forbidden where an edge of the free floor then runs through the area: the sum, after Minkowski, of that
    edge and the area turned over. What is left falls into regions in which the area lies wholly on the free floor or
    wholly off it.
    """
    forbidden = unary_union([_swept(edge, part) for edge in _edges(free) for part in parts]).buffer(
        -TOUCHING_MM / 2, join_style="mitre"
    )
    (west, south, east, north), own = free.bounds, need.bounds
    moves = box(west - own[2], south - own[3], east - own[0], north - own[1]).difference(forbidden)
    roomy = free.buffer(TOUCHING_MM, join_style="mitre")
    good = [
        region
        for region in getattr(moves, "geoms", [moves])
        if not region.is_empty and roomy.covers(translate(need, *_inside(region)))
    ]
    if not good:
        return None
    nearest = nearest_points(Point(0, 0), unary_union(good))[1]
    wide = free.buffer(2 * TOUCHING_MM, join_style="mitre")
    # Whole millimetres, rounded away from where the vehicle stands; the other ways round where that overshoots.
    steps = sorted(
        ((x, y) for x in _whole(nearest.x) for y in _whole(nearest.y)), key=lambda one: -(one[0] ** 2 + one[1] ** 2)
    )
    return next((one for one in steps if wide.covers(translate(need, *one))), None)


def _inside(region: BaseGeometry) -> XY:
    point = region.representative_point()
    return point.x, point.y


def _whole(length_mm: float) -> list[int]:
    away = ceil(abs(length_mm) - 1e-6)
    return [sign * size for size in (away, max(0, away - 1)) for sign in ((1,) if length_mm >= 0 else (-1,))]


def _edges(free: BaseGeometry) -> list[tuple[XY, XY]]:
    rings = [
        ring
        for piece in getattr(free, "geoms", [free])
        if isinstance(piece, Polygon)
        for ring in (piece.exterior, *piece.interiors)
    ]
    return [(start, end) for ring in rings for start, end in pairwise(ring.coords)]


def _swept(edge: tuple[XY, XY], part: Polygon) -> BaseGeometry:
    # A calibration's area is a rectangle; one that is not convex is taken with its hollows filled.
    corners = list(part.exterior.coords)
    return MultiPoint([(x - cx, y - cy) for x, y in edge for cx, cy in corners]).convex_hull


def bay_of(plan: Mapping[str, Any]) -> Bay:
    """The bay as its item of the kit states it: {"corners": [[x, y], ...], "obstacles": [{"name", "corners"}, ...]}."""
    obstacles = tuple(Obstacle(one["name"], tuple(map(tuple, one["corners"]))) for one in plan["obstacles"])
    return Bay(tuple(map(tuple, plan["corners"])), obstacles)


def middle_bay(width_mm: float, length_mm: float, areas: Sequence[Sequence[XY]]) -> Bay:
    """A bay of which only the size is known, with the area in its middle: all that can be said is whether it is large
    enough.
    """
    left, low, right, high = unary_union([Polygon(corners) for corners in areas]).bounds
    x, y = (left + right) / 2, (low + high) / 2
    ahead, aside = length_mm / 2, width_mm / 2
    return Bay(((x + ahead, y + aside), (x + ahead, y - aside), (x - ahead, y - aside), (x - ahead, y + aside)))
