"""What a drawing is made of: strokes, dots and labels in page pixels (x to the right, y down, 330 wide)."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from .lettering import width_px, wrap

Point = tuple[float, float]
PAGE_PX = 330.0
"""The width a drawing has on a phone 390 px wide; all sizes are meant at this width."""

SIZE_PX = 13.0
LINE_PX = 14.5
RING_PX = 9.0


@dataclass(frozen=True)
class Stroke:
    """A line through points. `smooth` draws a curve through them instead of corners; `tape` names a tape's reading,
    `spot` the place of a target.
    """

    pen: str
    points: tuple[Point, ...]
    closed: bool = False
    smooth: bool = False
    tape: str = ""
    spot: str = ""

    def segments(self) -> Iterable[tuple[Point, Point]]:
        ends = (*self.points[1:], self.points[0]) if self.closed else self.points[1:]
        return zip(self.points, ends, strict=False)


@dataclass(frozen=True)
class Dot:
    """A mark on the floor or the vehicle: a filled circle, or a ring where the pen has no filling."""

    pen: str
    centre: Point
    radius_px: float = 3.5

    def segments(self) -> Iterable[tuple[Point, Point]]:
        (x, y), r = self.centre, self.radius_px
        return (((x - r, y), (x + r, y)), ((x, y - r), (x, y + r)))


@dataclass(frozen=True)
class Box:
    left: float
    top: float
    right: float
    bottom: float

    def overlap(self, other: "Box") -> float:
        """Return the area that both cover."""
        across = min(self.right, other.right) - max(self.left, other.left)
        down = min(self.bottom, other.bottom) - max(self.top, other.top)
        return max(across, 0.0) * max(down, 0.0)

    def touches(self, other: "Box") -> bool:
        return (
            self.left <= other.right
            and other.left <= self.right
            and self.top <= other.bottom
            and other.top <= self.bottom
        )

    def grown(self, by: float) -> "Box":
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)

    @classmethod
    def about(cls, points: Iterable[Point]) -> "Box":
        """Return the smallest box that holds all points."""
        across, down = zip(*points, strict=True)
        return cls(min(across), min(down), max(across), max(down))

    def middle(self) -> Point:
        return (self.left + self.right) / 2, (self.top + self.bottom) / 2

    def nearest(self, point: Point) -> Point:
        """Return the point of this box that is nearest to another."""
        x, y = point
        return min(max(x, self.left), self.right), min(max(y, self.top), self.bottom)

    def crossed_by(self, one: Point, other: Point) -> bool:
        """Say whether the straight line between two points touches this box (Liang and Barsky's clipping)."""
        enters, leaves = 0.0, 1.0
        for low, high, start, end in (
            (self.left, self.right, one[0], other[0]),
            (self.top, self.bottom, one[1], other[1]),
        ):
            if start == end:
                if not low <= start <= high:
                    return False
                continue
            first, last = sorted(((low - start) / (end - start), (high - start) / (end - start)))
            enters, leaves = max(enters, first), min(leaves, last)
        return enters <= leaves


@dataclass(frozen=True)
class Spot:
    """A place where a label may stand: `y` is the middle of its lines, `x` their start, middle or end."""

    x: float
    y: float
    anchor: str = "middle"
    most_px: float = PAGE_PX
    # Which edge of the block `y` gives: its middle, its top or its bottom.
    hangs: str = "middle"


@dataclass(frozen=True)
class Text:
    """A label that has found its place; `ringed`, with a ring round it."""

    lines: tuple[str, ...]
    x: float
    top: float
    anchor: str
    ringed: bool = False

    @cached_property
    def box(self) -> Box:
        if self.ringed:
            return Box(self.x, self.top + LINE_PX / 2, self.x, self.top + LINE_PX / 2).grown(RING_PX)
        width = max(width_px(line, SIZE_PX) for line in self.lines)
        left = self.x - {"start": 0.0, "middle": width / 2, "end": width}[self.anchor]
        return Box(left, self.top, left + width, self.top + LINE_PX * len(self.lines))


@dataclass(frozen=True)
class Label:
    """A text that looks for its place among `spots`, the earlier the better.

    `of` is what it names: it gets a leader line to that when it stands far off. A `name` may be replaced by a number,
    and stand in a key below the drawing, where the drawing has no room for it. A `remark` is left out there.
    """

    text: str
    spots: tuple[Spot, ...]
    of: Box | None = None
    name: bool = False
    remark: bool = False

    def at(self, spot: Spot) -> Text:
        lines = wrap(self.text, SIZE_PX, spot.most_px)
        height = LINE_PX * len(lines)
        top = spot.y - {"middle": height / 2, "top": 0.0, "bottom": height}[spot.hangs]
        return Text(lines, spot.x, top, spot.anchor)


@dataclass(frozen=True)
class Number(Label):
    """The number in a ring that stands for a name."""

    def at(self, spot: Spot) -> Text:
        left = spot.x - {"start": 0.0, "middle": RING_PX, "end": 2 * RING_PX}[spot.anchor]
        down = {"middle": 0.0, "top": RING_PX, "bottom": -RING_PX}[spot.hangs]
        return Text((self.text,), left + RING_PX, spot.y + down - LINE_PX / 2, "middle", ringed=True)


@dataclass(frozen=True)
class Layer:
    """What a drawing shows for the jobs alone that `of`, a calibration, is part of: strokes, and the same in words."""

    of: str
    strokes: tuple[Stroke, ...]
    words: str


@dataclass(frozen=True)
class Scene:
    """All marks of one drawing, its height, and the same in words. `keyed`: its names stand in a key from the start.

    `seat`, of a drawing from above: px a millimetre, and where on the page the vehicle's origin lies.
    """

    height_px: float
    marks: tuple[Stroke | Dot | Label, ...] = ()
    words: tuple[str, ...] = ()
    keyed: bool = False
    layers: tuple[Layer, ...] = ()
    seat: tuple[float, float, float] | None = None
