"""Finding each label a place where it covers no other, touches as few lines as can be, and stays on the sheet."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from math import hypot

from .key import key, numbered
from .marks import PAGE_PX, Box, Dot, Label, Point, Scene, Spot, Stroke, Text

CLEAR_PX = 1.5
"""Air between a label and any line."""

EDGE_PX = 3.0
LEADER_PX = 15.0
"""A label farther than this from the point that it names gets a leader line to it."""

# What it costs to write across a line, by pen; a covered label or a lost edge outweighs any number of lines.
ACROSS = {"thin": 70.0, "dash": 40.0, "centre": 60.0, "detail": 30.0, "tip": 0.5}
ACROSS_HEAVY = 100.0
COVERED = 5_000.0
CROWDED = 100.0
"""A name that costs this much lies across the drawing: better a number and a key."""
OFF_SHEET = 50_000.0
LED = 6.0
LATER = 0.5


@dataclass
class _Sheet:
    """What is on the sheet already: lines with the box about each and what it costs to write across it, and texts."""

    height_px: float
    lines: list[tuple[Box, float, Stroke | Dot]] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)

    def draw(self, line: Stroke | Dot) -> None:
        about = Box.about(point for segment in line.segments() for point in segment)
        self.lines.append((about, ACROSS.get(line.pen, ACROSS_HEAVY), line))

    def cost(self, label: Label, spot: Spot) -> float:
        """What it costs to write a label in a spot; 0 is a clear place on one line."""
        text = label.at(spot)
        box = text.box.grown(CLEAR_PX)
        cost = 2.0 * (len(text.lines) - 1)
        if not (
            EDGE_PX <= box.left <= box.right <= PAGE_PX - EDGE_PX
            and EDGE_PX <= box.top <= box.bottom <= self.height_px - EDGE_PX
        ):
            return cost + OFF_SHEET
        cost += sum(COVERED for other in self.texts if box.touches(other.box))
        for about, price, line in self.lines:
            if box.touches(about) and any(box.crossed_by(*segment) for segment in line.segments()):
                cost += price
        if leader := _leader(label.of, text):
            cost += LED + sum(COVERED for other in self.texts if other.box.crossed_by(*leader.points))
        return cost

    def best(self, label: Label) -> tuple[Spot, float]:
        """The cheapest spot and its cost. A later one costs more by its place in the list, so the search ends early."""
        found, least = label.spots[0], float("inf")
        for number, spot in enumerate(label.spots):
            if number * LATER >= least:
                break
            cost = number * LATER + self.cost(label, spot)
            if cost < least:
                found, least = spot, cost
        return found, least


@dataclass(frozen=True)
class Page:
    """A scene with every label in its place."""

    height_px: float
    lines: list[Stroke | Dot]
    texts: list[Text]


def place(scene: Scene) -> Page:
    """Return the page: leaders added, labels placed; where the names do not fit, numbers and a key below."""
    if not scene.keyed:
        page, crowded = _arrange(scene.marks, scene.height_px)
        if not crowded:
            return page
    marks, names = numbered(scene.marks)
    page, _ = _arrange(marks, scene.height_px)
    below, height = key(names, scene.height_px)
    return Page(height, page.lines, page.texts + below) if names else page


def _arrange(marks: Iterable[Stroke | Dot | Label], height_px: float) -> tuple[Page, bool]:
    """Return the page with the labels placed in the order given, and whether one had to be squeezed in."""
    marks = tuple(marks)
    sheet, crowded = _Sheet(height_px), False
    for mark in marks:
        if not isinstance(mark, Label):
            sheet.draw(mark)
    for label in marks:
        if isinstance(label, Label):
            spot, cost = sheet.best(label)
            if label.remark and cost >= CROWDED:
                continue
            text = label.at(spot)
            crowded |= cost >= (CROWDED if label.name else COVERED)
            sheet.texts.append(text)
            if leader := _leader(label.of, text):
                sheet.draw(leader)
    return Page(height_px, [line for _, _, line in sheet.lines], sheet.texts), crowded


def _leader(of: Box | None, text: Text) -> Stroke | None:
    """The line from a text to what it names, if that lies farther off than LEADER_PX."""
    if of is None:
        return None
    start = text.box.nearest(of.middle())
    end = of.nearest(start)
    far = hypot(start[0] - end[0], start[1] - end[1])
    if far <= LEADER_PX:
        return None
    ux, uy = (end[0] - start[0]) / far, (end[1] - start[1]) / far
    air, near = 2.5, 1.5  # off the text, off what it names
    return Stroke("thin", ((start[0] + ux * air, start[1] + uy * air), (end[0] - ux * near, end[1] - uy * near)))


DIRECTIONS = {
    "right": (1, 0, "start", "middle"),
    "left": (-1, 0, "end", "middle"),
    "above": (0, -1, "middle", "bottom"),
    "below": (0, 1, "middle", "top"),
    "right-above": (0.7, -0.7, "start", "bottom"),
    "left-above": (-0.7, -0.7, "end", "bottom"),
    "right-below": (0.7, 0.7, "start", "top"),
    "left-below": (-0.7, 0.7, "end", "top"),
}


def around(point: Point, directions: Sequence[str], gap_px: float = 8.0, most_px: float = 118.0) -> tuple[Spot, ...]:
    """Return the places round a point in which its name may stand: first in the directions asked for, then farther
    off and in narrower lines."""
    rest = [name for name in DIRECTIONS if name not in directions]
    spots = []
    for far in (gap_px, gap_px + 10, gap_px + 22, gap_px + 38):
        for most in (most_px, most_px * 0.8, most_px * 0.64, most_px * 0.5):
            for name in (*directions, *rest):
                across, down, anchor, hangs = DIRECTIONS[name]
                spots.append(Spot(point[0] + across * far, point[1] + down * far, anchor, most, hangs))
    return tuple(spots)
