"""A scene as one SVG string: marks grouped by pen, every text escaped, the words as its text alternative."""

from dataclasses import replace
from html import escape
from itertools import pairwise
from math import floor

from .layers import Pieces
from .marks import LINE_PX, PAGE_PX, RING_PX, SIZE_PX, Dot, Point, Scene, Stroke, Text
from .pens import INK, PENS
from .placing import place

FACE = "'Atkinson Hyperlegible Next', system-ui, sans-serif"
"""The app's own typeface, named here too because what turns a page into a PDF asks no style sheet about an SVG."""

BASELINE_PX = 11.0
"""From the top of a line's box to the line its letters stand on."""


def svg(scene: Scene) -> Pieces:
    """Return the drawing as an inline SVG element, 330 by the scene's height."""
    # No label stands on what only some jobs show: it takes its room for all of them, in a pen that does not draw.
    reserved = tuple(replace(stroke, pen="") for layer in scene.layers for stroke in layer.strokes)
    page = place(replace(scene, marks=(*scene.marks, *reserved)))
    groups = "".join(_group(pen, [line for line in page.lines if line.pen == pen]) for pen in PENS)
    if page.height_px > scene.height_px:  # what runs off the drawing must not run into the key below it
        groups = f'<svg width="{PAGE_PX:g}" height="{scene.height_px:.0f}">{groups}</svg>'
    groups += _group("ring", [Dot("ring", text.box.middle(), RING_PX) for text in page.texts if text.ringed])
    written = "".join(_text(text) for text in page.texts)
    begin = (
        f'<svg class="top-view" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {PAGE_PX:g} {page.height_px:.0f}"'
        f'{_seat(scene)} role="img" aria-label="{escape(" ".join(scene.words))}'
    )
    lettering = f'fill="{INK}" font-family="{FACE}" font-size="{SIZE_PX:g}" font-weight="600"'
    return [
        begin,
        *({"of": layer.of, "text": escape(f" {layer.words}")} for layer in scene.layers),
        f'">{groups}',
        *({"of": layer.of, "text": _layer(list(layer.strokes))} for layer in scene.layers),
        f'<g class="lettering" {lettering}>{written}</g></svg>',
    ]


def _seat(scene: Scene) -> str:
    """What `bay` needs to lay the job's own bay under the drawing."""
    if scene.seat is None:
        return ""
    scale, x0, y0 = scene.seat
    return f' data-frame="{scale:.6f} {x0:.1f} {y0:.1f} {scene.height_px:.0f}"'


def _layer(strokes: list[Stroke | Dot]) -> str:
    """A group that says of itself that only some jobs have it: `core.redrawn` tells it from the rest by that."""
    return _group(strokes[0].pen, strokes).replace("<g ", '<g data-of="job" ', 1)


def _group(pen: str, lines: list[Stroke | Dot]) -> str:
    if not lines:
        return ""
    strokes = [line for line in lines if isinstance(line, Stroke)]
    path = "".join(_path(line) for line in strokes if not line.tape and not line.spot)
    # A tape is an element of its own, so that the page can point out the one whose reading is being typed, and so is a
    # target, which the page shows as placed or as the next.
    tapes = "".join(f'<path data-tape="{line.tape}" d="{_path(line)}"/>' for line in strokes if line.tape)
    tapes += "".join(f'<path data-spot="{line.spot}" d="{_path(line)}"/>' for line in strokes if line.spot)
    dots = "".join(_circle(line) for line in lines if isinstance(line, Dot))
    drawn = f'<path d="{path}"/>' if path else ""
    return f'<g class="{pen}" {PENS[pen].attributes()}>{drawn}{tapes}{dots}</g>'


def _circle(dot: Dot) -> str:
    return f'<circle cx="{px(dot.centre[0])}" cy="{px(dot.centre[1])}" r="{px(dot.radius_px)}"/>'


def _path(stroke: Stroke) -> str:
    close = "Z" if stroke.closed else ""
    if stroke.smooth:
        return _curve(stroke) + close
    return "M" + "L".join(_pair(point) for point in stroke.points) + close


def _curve(stroke: Stroke) -> str:
    """A Catmull-Rom spline through the points, as cubic Bézier curves."""
    points = stroke.points
    run = (points[-1], *points, *points[:2]) if stroke.closed else (points[0], *points, points[-1])
    made = "M" + _pair(run[1])
    for index, (start, end) in enumerate(pairwise(run[1:-1])):
        if start == end:
            continue  # a corner: the curve stops here and sets out anew
        before, after = run[index], run[index + 3]
        made += "C" + " ".join(_pair(point) for point in (_pull(start, before, end), _pull(end, after, start), end))
    return made


def _pull(at: Point, one: Point, other: Point) -> Point:
    return at[0] + (other[0] - one[0]) / 6, at[1] + (other[1] - one[1]) / 6


def _text(text: Text) -> str:
    anchor = "" if text.anchor == "start" else f' text-anchor="{text.anchor}"'
    return "".join(
        f'<text x="{px(text.x)}" y="{px(text.top + BASELINE_PX + number * LINE_PX)}"{anchor}>{escape(line)}</text>'
        for number, line in enumerate(text.lines)
    )


def _pair(point: Point) -> str:
    return f"{px(point[0])} {px(point[1])}"


def px(value: float) -> str:
    """A coordinate to a tenth of a pixel, written short; halves go up, as JavaScript has it."""
    return f"{floor(value * 10 + 0.5) / 10:g}"
