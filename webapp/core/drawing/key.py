"""Names too long for a drawing: numbers in rings take their places, and a key below says which is which."""

from collections.abc import Iterable, Sequence

from .lettering import wrap
from .marks import LINE_PX, PAGE_PX, RING_PX, SIZE_PX, Dot, Label, Number, Stroke, Text

LEFT_PX, TEXT_PX, RIGHT_PX = 17.0, 33.0, 6.0
APART_PX = 6.0


def numbered(marks: Iterable[Stroke | Dot | Label]) -> tuple[list[Stroke | Dot | Label], list[str]]:
    """Return the marks with each name replaced by its number, counted from 1, and the names."""
    made: list[Stroke | Dot | Label] = []
    names: list[str] = []
    for mark in marks:
        if isinstance(mark, Label) and mark.name:
            names.append(mark.text)
            made.append(Number(str(len(names)), mark.spots, mark.of))
        else:
            made.append(mark)
    return made, names


def key(names: Sequence[str], top_px: float) -> tuple[list[Text], float]:
    """Return the key's texts from `top_px` on, and where the page then ends."""
    texts, y = [], top_px + APART_PX
    for number, name in enumerate(names, 1):
        lines = wrap(name.replace("\n", ", "), SIZE_PX, PAGE_PX - TEXT_PX - RIGHT_PX)
        texts.append(Text((str(number),), LEFT_PX, y + RING_PX - LINE_PX / 2, "middle", ringed=True))
        texts.append(Text(lines, TEXT_PX, y + RING_PX - LINE_PX / 2, "start"))
        y += max(2 * RING_PX, LINE_PX * len(lines) + 2) + APART_PX - 2
    return texts, y + APART_PX
