"""The job's own bay under a drawing: its edge and what stands in it, where they are in sight, and the same in words."""

import re
import xml.etree.ElementTree as ET
from typing import Any

import pytest

from tests.drawings import AREA, OUTLINE, SVG, at
from webapp.core.drawing import draw
from webapp.core.drawing.bay import in_bay
from webapp.messages import say

PLAN: dict[str, Any] = {
    "name": "Bay <1>",
    "corners": [[5700.0, 2100.0], [5700.0, -2100.0], [-5800.0, -2100.0], [-5800.0, 2100.0]],
    "obstacles": [
        {"name": "Pillar", "corners": [[1300.0, 2100.0], [1300.0, 1700.0], [900.0, 1700.0], [900.0, 2100.0]]},
        {"name": "Bench", "corners": [[-4000.0, -1000.0], [-4000.0, -2100.0], [-5000.0, -2100.0]]},
    ],
}
BOARDS = [at(1500, 420), at(1500, -420, "right arm")]


def paths(svg: str, pen: str) -> list[list[tuple[float, float]]]:
    """The points of each path of a pen."""
    groups = [one for one in ET.fromstring(svg).iter(f"{SVG}g") if one.get("class") == pen]
    made = [path.get("d", "") for group in groups for path in group.iter(f"{SVG}path")]
    return [[(float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)", path)] for path in made]


def test_the_edge_lies_where_the_drawing_s_own_scale_puts_it() -> None:
    svg, words = in_bay(draw("area", OUTLINE, [], AREA, say).svg, PLAN, say)
    (edge,), ((*clear,),) = paths(svg, "wall"), paths(svg, "clear")
    # 4500 mm ahead of a bumper 900 mm ahead of the axle, and 1840 mm with 1800 on each side
    scale = (clear[1][0] - clear[0][0]) / 5440
    assert edge[1][0] - edge[0][0] == pytest.approx(4200 * scale, abs=0.3)
    assert clear[0][1] - edge[0][1] == pytest.approx(300 * scale, abs=0.3)
    assert words[0] == "Grey band: the edge of Bay <1>, with the vehicle in its usual place."


def test_only_what_is_in_sight_is_lettered_and_told() -> None:
    svg, words = in_bay(draw("stand", OUTLINE, BOARDS, {}, say).svg, PLAN, say)
    letters = [one.text for one in ET.fromstring(svg).iter(f"{SVG}text")]
    assert "A" in letters
    assert "B" not in letters
    thin = "\u2009"
    assert words[-1] == f"A: Pillar, 1{thin}100 mm ahead of the front axle, 1{thin}900 mm left of the centreline."
    assert len(paths(svg, "thing")) == 1


def test_in_inches_its_places_are_told_in_inches() -> None:
    drawn = draw("stand", OUTLINE, BOARDS, {}, say, "in").svg
    assert "43 5/16 in ahead" in in_bay(drawn, PLAN, say, "in")[1][-1].replace("\u00a0", " ")


@pytest.mark.parametrize("name", ["heights", "chocks"])
def test_a_drawing_that_is_not_from_above_or_shows_no_floor_stays_as_it_is(name: str) -> None:
    drawn = draw(name, OUTLINE, [at(1500, 420, height_mm=900.0)], {}, say).svg
    assert in_bay(drawn, PLAN, say) == (drawn, [])


def test_a_bay_that_is_nowhere_in_sight_is_not_told_of() -> None:
    drawn = draw("stand", OUTLINE, BOARDS, {}, say).svg
    wide = {"name": "Hall", "corners": [[29e3, 29e3], [29e3, -29e3], [-29e3, -29e3], [-29e3, 29e3]], "obstacles": []}
    assert in_bay(drawn, wide, say) == (drawn, [])
    assert in_bay(drawn, None, say) == (drawn, [])


def test_it_lies_under_all_else_and_runs_into_no_key_below() -> None:
    boards = [at(1500, y, f"A very long name of a spot, number {y}", height_mm=1200.0) for y in (900, 300, -300, -900)]
    drawn = draw("stand", OUTLINE, boards, {}, say).svg
    svg, _ = in_bay(drawn, PLAN, say)
    root = ET.fromstring(svg)
    assert root[0].tag == f"{SVG}svg"
    assert root[0][0].get("class") == "wall"
    assert float(root[0].get("height", 0)) < float(root.get("viewBox", "").split()[3])
