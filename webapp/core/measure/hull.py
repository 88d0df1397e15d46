"""Whether a set of points on the floor surrounds a spot."""

from collections.abc import Sequence

XY = tuple[float, float]


def surrounds(points: Sequence[XY], spot: XY) -> bool:
    """Say whether the spot lies inside the convex hull of the points, or on its edge.

    points: (x, y) pairs that span an area; the caller has made sure of that.
    """
    corners = convex_hull(points)
    size = max(abs(x) + abs(y) for x, y in [*corners, spot])
    slack = 1e-12 * size * size
    return all(_turn(a, b, spot) >= -slack for a, b in zip(corners, corners[1:] + corners[:1], strict=True))


def convex_hull(points: Sequence[XY]) -> list[XY]:
    """Return the corners of the convex hull, counter-clockwise (Andrew's monotone chain)."""
    ordered = sorted(set(points))
    return _chain(ordered)[:-1] + _chain(ordered[::-1])[:-1] if len(ordered) > 1 else ordered


def _chain(ordered: Sequence[XY]) -> list[XY]:
    chain: list[XY] = []
    for point in ordered:
        while len(chain) >= 2 and _turn(chain[-2], chain[-1], point) <= 0:
            chain.pop()
        chain.append(point)
    return chain


def _turn(a: XY, b: XY, c: XY) -> float:
    """Return twice the area of the triangle a, b, c: positive where the way a, b, c turns left."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
