"""The pens: weights as on a workshop drawing, what is there solid, what goes there dashed blue, here and now orange.

Each pen is a CSS class, so that static/css/drawing.css can give it the ink of the page, light or dark. The same pen
is written out as presentation attributes in the inks of paper: printed or converted without that style sheet a drawing
is the same.
"""

from dataclasses import dataclass

INK, INK_2, CHALK, CHALK_SOFT, PLUMB = "#14202b", "#414d58", "#234a8f", "#dfe6f3", "#a83c06"
SHEET, PAPER, RULE = "#fffdf7", "#f6f3ea", "#cfc8b6"


@dataclass(frozen=True)
class Pen:
    """Line and filling; a width of 0 draws no line. A dash pattern is in px."""

    stroke: str = INK
    width_px: float = 1.0
    dash: str = ""
    fill: str = "none"

    def attributes(self) -> str:
        if not self.width_px:
            return f'fill="{self.fill}"'
        dash = f' stroke-dasharray="{self.dash}"' if self.dash else ""
        return f'fill="{self.fill}" stroke="{self.stroke}" stroke-width="{self.width_px:g}"{dash}'


# In the order in which they are drawn: what lies underneath first.
PENS: dict[str, Pen] = {
    "wall": Pen(RULE, 6.0),  # the bay's edge
    "thing": Pen(INK_2, 1.2, fill=RULE),  # what stands in the bay
    "body": Pen(INK, 2.0, fill=PAPER),  # the vehicle
    "detail": Pen(INK_2, 1.0),  # its glass and bonnet
    "dash": Pen(INK_2, 1.0, "3 2.5"),  # what cannot be seen from above
    "laid": Pen(INK, 1.8, fill=SHEET),  # a target that is there
    "place": Pen(CHALK, 1.8, "5 3", CHALK_SOFT),  # a target that goes there
    "clear": Pen(CHALK, 2.0, "9 5"),  # the edge of a floor that must be clear
    "cross": Pen(CHALK, 1.8),  # where a target will stand
    "thin": Pen(INK_2, 0.9),  # dimension, extension and leader lines
    "centre": Pen(INK, 1.0, "13 3 2 3"),
    "tape": Pen(INK_2, 1.6),
    "ink": Pen(INK, 2.0),
    "goes": Pen(CHALK, 3.5, "9 5"),
    "heavy": Pen(INK, 4.5),  # what the drawing is about, and is there
    "now": Pen(PLUMB, 3.5),
    "tip": Pen(fill=INK_2, width_px=0),  # arrow heads of dimension lines
    "solid": Pen(fill=INK, width_px=0),
    "solid-goes": Pen(fill=CHALK, width_px=0),
    "solid-now": Pen(fill=PLUMB, width_px=0),
    "ring": Pen(INK, 1.5, fill=SHEET),
}
