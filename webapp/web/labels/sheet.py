"""A sheet of labels as PDF at true size: A4, cut marks round the labels, and a ruler to check the printer by."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from webapp.core.errors import BadInput, shown
from webapp.messages import say
from webapp.paths import STATIC
from webapp.web.paper import pdf_of

from .code import qr_path

PAGE_MM = (210, 297)
TOP_MM = 11
RULER_MM = 100
LARGEST_SHEET = 500


@dataclass(frozen=True)
class Printed:
    """What stands on a label: the text in its code and beneath it, and the name that people call the thing by."""

    text: str
    name: str


@dataclass(frozen=True)
class Size:
    """A size of label: the code with its quiet zone is a square of `width_mm`, name and text stand below it."""

    width_mm: int
    height_mm: int
    columns: int
    rows: int

    @property
    def left_mm(self) -> float:
        return (PAGE_MM[0] - self.columns * self.width_mm) / 2

    def places(self) -> list[tuple[float, float]]:
        """Return the upper left corner of every label of a page, row by row, in mm from the page's corner."""
        return [
            (self.left_mm + column * self.width_mm, TOP_MM + row * self.height_mm)
            for row in range(self.rows)
            for column in range(self.columns)
        ]

    def cuts(self) -> list[tuple[float, float, float, float]]:
        """Return the cut marks as lines x1, y1, x2, y2 in mm: neighbours share a cut, so all stand in the margin."""
        xs: list[float] = [self.left_mm + column * self.width_mm for column in range(self.columns + 1)]
        ys: list[float] = [TOP_MM + row * self.height_mm for row in range(self.rows + 1)]
        upright = [(x, y, x, y + MARK_MM) for x in xs for y in (ys[0] - GAP_MM - MARK_MM, ys[-1] + GAP_MM)]
        level = [(x, y, x + MARK_MM, y) for y in ys for x in (xs[0] - GAP_MM - MARK_MM, xs[-1] + GAP_MM)]
        return upright + level


MARK_MM = 4
GAP_MM = 1
# By the width in mm. A phone reads the 50 mm one from an arm's length, the 90 mm one from two metres.
SIZES = {50: Size(50, 63, 3, 4), 90: Size(90, 108, 2, 2)}

_templates = Environment(
    loader=FileSystemLoader(Path(__file__).with_name("templates")),
    autoescape=True,
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)


def label_sheet(labels: Sequence[Printed], width_mm: int) -> bytes:
    """Return the PDF of these labels, in their order.

    Raises BadInput (`label-size`, `label-count`).
    """
    if width_mm not in SIZES:
        raise BadInput("label-size", "size", f"size={shown(width_mm)} must be one of {', '.join(map(str, SIZES))} (mm)")
    if not 0 < len(labels) <= LARGEST_SHEET:
        what = f"labels={len(labels)} must be 1 to {LARGEST_SHEET}: choose what to print a label for"
        raise BadInput("label-count", "code", what)
    size = SIZES[width_mm]
    places = size.places()
    pages = [list(zip(labels[at:], places, strict=False)) for at in range(0, len(labels), len(places))]
    page = _templates.get_template("labels/sheet.html").render(
        pages=pages, size=size, page_mm=PAGE_MM, ruler_mm=RULER_MM, qr_path=qr_path, say=say
    )
    return pdf_of(page, STATIC / "css" / "label-sheet.css", str(STATIC))
