"""Dimension lines after ISO 129: extension lines, slim arrows, figures that never need turning the phone."""

from collections.abc import Iterable, Sequence

from .lettering import length, width_px
from .marks import LINE_PX, PAGE_PX, SIZE_PX, Dot, Label, Point, Spot, Stroke

ARROW_PX = 8.0
ARROW_HALF_PX = 1.9
GAP_PX = 3.0
"""Extension lines start this far off what they measure, and end this far beyond the dimension line."""

MARGIN_PX = 6.0
"""From a figure to the page's edge: nearer counts as off the page, which would put all names into a key."""

Mark = Stroke | Dot | Label


def arrow(tip: Point, towards: tuple[int, int], pen: str = "tip", size: float = 1.0) -> Stroke:
    """A filled arrow head at `tip`, pointing left (-1, 0), right (1, 0), up (0, -1) or down (0, 1)."""
    (x, y), (dx, dy) = tip, towards
    back, half = ARROW_PX * size, ARROW_HALF_PX * size
    base = x - dx * back, y - dy * back
    return Stroke(
        pen, (tip, (base[0] - dy * half, base[1] + dx * half), (base[0] + dy * half, base[1] - dx * half)), closed=True
    )


def across(y: float, one: Point, other: Point, value_mm: float) -> list[Mark]:
    """A dimension from one point to another along x, its line at height `y`, the figure above the line."""
    left, right = sorted((one, other))
    text, wide = length(value_mm), right[0] - left[0]
    inside = wide >= 2 * ARROW_PX + 4
    reach = 0.0 if inside else ARROW_PX + 6
    marks: list[Mark] = [
        Stroke("thin", ((left[0] - reach, y), (right[0] + reach, y))),
        arrow((left[0], y), (-1, 0) if inside else (1, 0)),
        arrow((right[0], y), (1, 0) if inside else (-1, 0)),
    ]
    marks += [_extension(point, (point[0], y)) for point in (left, right) if abs(point[1] - y) > GAP_PX]
    middle = (left[0] + right[0]) / 2
    above, below = Spot(middle, y - 2, hangs="bottom"), Spot(middle, y + 2, hangs="top")
    beyond = (Spot(right[0] + reach + 3, y, "start"), Spot(left[0] - reach - 3, y, "end"))
    fits = width_px(text, SIZE_PX) <= wide - 4
    return [*marks, Label(text, (above, below, *beyond) if fits else (*beyond, above, below))]


def along(x: float, one: Point, other: Point, value_mm: float) -> list[Mark]:
    """A dimension from one point to another along y, its line at `x`, the figure upright in a gap of the line.

    Where the line is too short for a gap the figure stands beside it. Near the page's edge the line moves in, so that a
    long figure stays on the page.
    """
    room = width_px(length(value_mm), SIZE_PX) / 2 + MARGIN_PX
    x = min(max(x, room), PAGE_PX - room)
    top, bottom = sorted((one, other), key=lambda point: point[1])
    long, middle, tall = bottom[1] - top[1], (top[1] + bottom[1]) / 2, LINE_PX + 4
    inside = long >= 2 * ARROW_PX + 4
    reach = 0.0 if inside else ARROW_PX + 6
    ends = ((x, top[1] - reach), (x, bottom[1] + reach))
    marks: list[Mark] = [
        arrow((x, top[1]), (0, -1) if inside else (0, 1)),
        arrow((x, bottom[1]), (0, 1) if inside else (0, -1)),
        *(_extension(point, (x, point[1])) for point in (top, bottom) if abs(point[0] - x) > GAP_PX),
    ]
    if long >= tall + 2 * ARROW_PX + 6:
        gap = ((x, middle - tall / 2), (x, middle + tall / 2))
        marks += [Stroke("thin", (ends[0], gap[0])), Stroke("thin", (gap[1], ends[1]))]
        return [*marks, Label(length(value_mm), (Spot(x, middle),))]
    spots = (Spot(x + 5, middle, "start"), Spot(x - 5, middle, "end"), Spot(x, ends[0][1] - 2, hangs="bottom"))
    return [*marks, Stroke("thin", ends), Label(length(value_mm), spots)]


def ladder(x: float, origin: Point, rungs: Iterable[tuple[Point, float]], words: str = "") -> list[Mark]:
    """Running dimensions along y from one origin: a ring where they start, an arrow and a figure at each rung.

    rungs: the point on the drawing and its distance from the origin in mm, shown without its sign. words: what the
    origin is.
    """
    rungs = sorted(rungs, key=lambda rung: rung[0][1])
    heights = [origin[1], *(point[1] for point, _ in rungs)]
    marks: list[Mark] = [
        Stroke("thin", ((x, min(heights)), (x, max(heights)))),
        _extension(origin, (x, origin[1])),
        Dot("ring", (x, origin[1]), 3.0),
    ]
    outward = -1 if x < origin[0] else 1
    for point, value_mm in rungs:
        if abs(point[1] - origin[1]) < 1:
            continue
        marks += [
            arrow((x, point[1]), (0, -1 if point[1] < origin[1] else 1)),
            _extension(point, (x, point[1])),
            Label(length(abs(value_mm)), _beside(x, point[1], outward)),
        ]
    if words:
        marks.append(Label(words, _beside(x, origin[1], outward, most_px=62.0), remark=True))
    return marks


def _beside(x: float, y: float, outward: int, most_px: float = PAGE_PX) -> tuple[Spot, ...]:
    """Above its extension line, or below it; where others stand there, farther along it."""
    ends = {-1: "end", 1: "start"}
    return tuple(
        Spot(x - outward * (5 + farther), y + shift, ends[-outward], most_px, hangs)
        for farther in (0, 40, 80, 120, 160, 200, 240)
        for shift, hangs in ((-2.5, "bottom"), (2.5, "top"))
    )


def rows(y: float, origin: Point, points: Sequence[tuple[Point, float]], step_px: float = 18.0) -> list[Mark]:
    """Dimensions along x from the centreline to each point, the nearest in the lowest row, left and right apart.

    `y` is the lowest row; each point carries its distance in mm.
    """
    marks: list[Mark] = []
    for side in (-1, 1):
        ours = sorted(
            ((point, value) for point, value in points if (point[0] - origin[0]) * side > 0.5),
            key=lambda found: abs(found[0][0] - origin[0]),
        )
        for number, (point, value) in enumerate(ours):
            marks += across(y - number * step_px, point, (origin[0], y - number * step_px), abs(value))
    return marks


def _extension(start: Point, end: Point) -> Stroke:
    """A thin line from just off what is measured to just beyond the dimension line."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    long = max(abs(dx), abs(dy)) or 1.0
    ux, uy = dx / long, dy / long
    return Stroke(
        "thin", ((start[0] + ux * GAP_PX, start[1] + uy * GAP_PX), (end[0] + ux * GAP_PX, end[1] + uy * GAP_PX))
    )
