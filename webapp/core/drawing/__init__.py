"""Drawings from the sheet's own figures: of each thing that is placed or measured from above, of heights from the side.

A workshop drawing, 330 px wide: the vehicle faces up, dimensions are in the shop's unit, solid is there, dashed
blue goes there, orange is here and now. Every drawing says the same in words.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from webapp.core.errors import NotFound, shown
from webapp.core.lengths import MM, Unit

from .area import area
from .axis import axis
from .chocks import chocks
from .floor import floor
from .heights import heights
from .layers import Layers, Pieces, seen_for
from .lettering import lengths_in
from .marks import Scene
from .move import stand_move
from .patterns import patterns
from .square import squaring
from .stand import reflector, stand
from .svg import svg
from .vehicle import Outline
from .words import Placed, Say

__all__ = ["NAMES", "Drawing", "draw", "draw_layers", "stand_move"]

NAMES = ("stand", "reflector", "patterns", "floor", "axis", "area", "chocks", "heights")


@dataclass(frozen=True)
class Drawing:
    """`svg` is an inline SVG element; `alt` says the same in words."""

    svg: str
    alt: str


def draw(
    name: str,
    outline: Outline,
    placements: Sequence[Placed],
    given: Mapping[str, Any],
    say: Say,
    unit: Unit = MM,
) -> Drawing:
    """Return the drawing of a step.

    name: one of NAMES. outline, placements: as the sheet has them, in mm and deg. given: the step's measurement, for
    `area` the area, or nothing. say: wording by message id. unit: what lengths are written in. Raises
    NotFound for any other name.
    """
    layers = draw_layers(name, outline, placements, given, say, unit)
    return Drawing(seen_for(layers["svg"], None), seen_for(layers["alt"], None))


def draw_layers(
    name: str,
    outline: Outline,
    placements: Sequence[Placed],
    given: Mapping[str, Any],
    say: Say,
    unit: Unit = MM,
) -> Layers:
    """Return the drawing in pieces, as `draw` makes it of them: some show for the jobs with one calibration alone."""
    with lengths_in(unit):
        scene = _scene(name, outline, placements, given, say)
    words: Pieces = [" ".join(scene.words)]
    return {"svg": svg(scene), "alt": words + [{"of": one.of, "text": f" {one.words}"} for one in scene.layers]}


def _scene(name: str, outline: Outline, placements: Sequence[Placed], given: Mapping[str, Any], say: Say) -> Scene:
    there = "method" in given  # what is measured is there; what is not is still to be placed
    match name:
        case "stand" | "reflector" | "patterns" if given.get("method") == "square":
            return squaring(outline, given, say)
        case "stand":
            return stand(outline, placements, there, say, standing=bool(given.get("stands")))
        case "reflector":
            return reflector(outline, placements, there, say)
        case "patterns":
            return patterns(outline, placements, there, say)
        case "heights":
            return heights(outline, placements, there, say)
        case "floor":
            return floor(outline, given, say)
        case "axis":
            return axis(outline, given, say)
        case "area":
            return area(outline, given, say)
        case "chocks":
            return chocks(outline, given, say)
    raise NotFound("unknown-drawing", "drawing", f"drawing={shown(name)} is not one of {', '.join(NAMES)}")
