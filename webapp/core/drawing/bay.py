"""The bay under a drawing from above: its edge, and what stands in it, where they are in sight.

A drawing is of a vehicle, ready made for every job; the bay is the job's own. So it is laid under the finished drawing
where that is shown, on the phone too (static/core/drawing/bay.js). A drawing tells in its `data-frame` how: px a
millimetre, where the vehicle's origin lies, and how high it is without its key.
"""

import re
from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Any

from ..lengths import MM, Unit
from .frame import Frame
from .lettering import lengths_in
from .marks import PAGE_PX, Box, Point
from .pens import PENS
from .svg import px
from .words import Say, where

FRAME = re.compile('data-frame="([^"]*)"')
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
TO_BASELINE_PX = 4.5
EDGE_PX = 9.0
"""A letter's middle keeps so far off the sheet's edge."""


def in_bay(svg: str, plan: Mapping[str, Any] | None, say: Say, unit: Unit = MM) -> tuple[str, list[str]]:
    """Return the drawing with the bay under it, and what is seen of the bay in words: nothing, where none of it is.

    svg: a finished drawing. plan: the bay's `name`, its `corners` [[x, y], ...] in the vehicle's axes in mm, and its
    `obstacles`, each with `name` and `corners`.
    """
    told = FRAME.search(svg)
    if plan is None or told is None:
        return svg, []
    scale, x0, y0, high = map(float, told[1].split())
    frame, page = Frame(scale, x0, y0), Box(0.0, 0.0, PAGE_PX, high)
    edge = frame.all(plan["corners"])
    things = [(one, frame.all(one["corners"])) for one in plan["obstacles"]]
    seen = [(one, points) for one, points in things if Box.about(points).overlap(page)][: len(LETTERS)]
    crosses = any(page.crossed_by(*side) for side in pairwise([*edge, edge[0]]))
    if not seen and not crosses:
        return svg, []
    marks = "".join(f'<path d="{_path(points)}"/>' for _one, points in seen)
    letters = "".join(_letter(LETTERS[n], _middle(points, page)) for n, (_one, points) in enumerate(seen))
    under = (
        f'<svg width="{PAGE_PX:g}" height="{high:g}">'
        f'<g class="wall" {PENS["wall"].attributes()}><path d="{_path(edge)}"/></g>'
        f'<g class="thin" {PENS["thin"].attributes()}><path d="{_path(edge)}"/></g>'
        f'<g class="thing" {PENS["thing"].attributes()}>{marks}</g>'
        f'<g class="lettering" font-size="13">{letters}</g></svg>'
    )
    at = svg.index('">') + 2
    with lengths_in(unit):
        words = [say("drawing-bay-edge", bay=plan["name"])] if crosses else []
        words += [
            say("drawing-obstacle", letter=LETTERS[n], what=one["name"], place=where(*_centre(one["corners"]), say))
            for n, (one, _points) in enumerate(seen)
        ]
    return svg[:at] + under + svg[at:], words


def _path(points: Sequence[Point]) -> str:
    return "M" + "L".join(f"{px(x)} {px(y)}" for x, y in points) + "Z"


def _centre(corners: Sequence[Point]) -> Point:
    """The middle of the smallest box about it."""
    return Box.about(corners).middle()


def _middle(points: Sequence[Point], page: Box) -> Point:
    """The middle of what is in sight."""
    about = Box.about(points)
    return Box(
        max(about.left, page.left),
        max(about.top, page.top),
        min(about.right, page.right),
        min(about.bottom, page.bottom),
    ).middle()


def _letter(letter: str, at: Point) -> str:
    x = min(max(at[0], EDGE_PX), PAGE_PX - EDGE_PX)
    return f'<text x="{px(x)}" y="{px(max(at[1], EDGE_PX) + TO_BASELINE_PX)}" text-anchor="middle">{letter}</text>'
