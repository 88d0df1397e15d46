"""Each step's drawing shows what the sheet says, to scale, and says the same in words."""

import re
import xml.etree.ElementTree as ET
from math import dist

import pytest

from tests.drawings import AREA, FLOOR, OUTLINE, SQUARE, at, pens, shipped, texts
from webapp.core.drawing import NAMES, draw
from webapp.core.errors import NotFound
from webapp.core.procedure import Library
from webapp.messages import say

BOARDS = [at(1500, 420, height_mm=1260.0, size_mm=[600, 450]), at(1500, -420, "right arm", height_mm=1260.0)]
MATS = [at(1500, 0, "front mat", size_mm=[1400, 600]), at(-1400, 1370, "left mat", size_mm=[500, 1600])]
GIVEN = {"floor": FLOOR, "axis": {"method": "axis"}, "area": AREA}
PLACEMENTS = {
    "stand": BOARDS,
    "heights": BOARDS,
    "reflector": [at(2500, 140, "centre plate", height_mm=540.0)],
    "patterns": MATS,
}


def drawn(name: str) -> str:
    return draw(name, OUTLINE, PLACEMENTS.get(name, []), GIVEN.get(name, {}), say).svg


def points(path: str) -> list[tuple[float, float]]:
    numbers = [float(one) for one in re.findall(r"-?[\d.]+", path)]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


def figures(svg: str) -> list[str]:
    return [text for text, _ in texts(svg) if re.fullmatch(r"[\d\u2009.]+", text)]


@pytest.mark.parametrize("name", NAMES)
def test_every_drawing_is_an_image_whose_label_is_its_text_alternative(name: str) -> None:
    made = draw(name, OUTLINE, PLACEMENTS.get(name, []), GIVEN.get(name, {}), say)
    root = ET.fromstring(made.svg)
    assert root.get("role") == "img"
    assert root.get("aria-label") == made.alt
    assert made.alt.startswith(say(f"drawing-seen-from-{'left' if name == 'heights' else 'above'}", unit="mm"))


@pytest.mark.parametrize("name", NAMES)
def test_no_text_is_smaller_than_11_px_on_a_page_330_px_wide(name: str) -> None:
    root = ET.fromstring(drawn(name))
    assert root.get("viewBox", "").split()[2] == "330"
    sizes = [float(one.get("font-size", 0)) for one in root.iter() if one.get("font-size")]
    assert sizes
    assert min(sizes) >= 11


@pytest.mark.parametrize("name", ["stand", "reflector", "patterns", "floor", "area"])
def test_every_figure_in_a_drawing_is_said_in_its_words(name: str) -> None:
    made = draw(name, OUTLINE, PLACEMENTS.get(name, []), GIVEN.get(name, {}), say)
    shown = figures(made.svg)
    assert shown
    assert [one for one in shown if f"{one} mm" not in made.alt] == []


def test_the_words_name_each_target_its_spot_its_place_and_its_height() -> None:
    alt = draw("stand", OUTLINE, BOARDS, {}, say).alt
    assert (
        "Camera board at right arm: 1\u2009500 mm ahead of the front axle, 420 mm right of the centreline, "
        "height 1\u2009260." in alt
    )


def test_a_turned_target_says_which_way() -> None:
    made = draw("reflector", OUTLINE, [at(2500, 0, yaw_deg=1.5)], {}, say)
    assert "turned 1.5° to the left" in made.alt
    assert "turned 1.5° to the left" in " ".join(text for text, _ in texts(made.svg))


@pytest.mark.parametrize(("x", "y", "yaw"), [(2500, 0, 0), (-5600, 0, 0), (-4700, 1400, 45), (2200, -1500, 40)])
def test_a_stand_s_bar_is_on_the_far_side_of_its_board_wherever_it_stands(x: float, y: float, yaw: float) -> None:
    made = pens(draw("stand", OUTLINE, [at(x, y, yaw_deg=float(yaw), size_mm=[460, 460])], {}, say).svg)
    body = points(made["body"][-1].split("M")[-1])
    middle = [(min(part) + max(part)) / 2 for part in zip(*body, strict=True)]
    board, bar = (_middle(points(made[pen][0])) for pen in ("place", "goes"))
    assert dist(bar, middle) > dist(board, middle)
    assert len(points(made["goes"][0])) == 2


def test_boards_of_one_bar_share_it_and_others_have_one_each() -> None:
    apart = [at(-4700, 1400, yaw_deg=45.0), at(-4700, -1400, "right", yaw_deg=-45.0)]
    bars = [pens(draw("stand", OUTLINE, some, {}, say).svg)["goes"][0].count("M") for some in (BOARDS, apart)]
    assert bars == [1, 2]


def test_the_side_view_shows_each_height_to_scale_above_the_floor() -> None:
    placed = [at(1500, 0, height_mm=1200.0), at(-5000, 0, "rear arm", height_mm=600.0), at(0, 1400, "mat")]
    made = draw("heights", OUTLINE, placed, {}, say)
    high, low = (float(one.get("cy", 0)) for one in _centres(made.svg))
    floor = points(pens(made.svg)["ink"][0])[0][1]
    assert floor - high == pytest.approx(2 * (floor - low), abs=0.2)
    assert [text for text, _ in texts(made.svg) if "height" in text] == ["height 1\u2009200", "height 600"]
    assert "mat" not in made.alt


def _centres(svg: str) -> list[ET.Element]:
    return [one for one in ET.fromstring(svg).iter() if one.tag.endswith("circle") and one.get("r") == "2.5"]


def _middle(outline: list[tuple[float, float]]) -> tuple[float, float]:
    across, down = zip(*outline, strict=True)
    return sum(across) / len(across), sum(down) / len(down)


def test_left_is_left_and_ahead_is_up() -> None:
    made = pens(draw("stand", OUTLINE, BOARDS[:1], {}, say).svg)
    board = points(made["place"][0])
    nose = min(y for _, y in points(made["body"][0].split("M")[-1]))
    centre = points(made["centre"][0])[0][0]
    assert max(x for x, _ in board) < centre
    assert max(y for _, y in board) < nose


@pytest.mark.parametrize("x_mm", [1200.0, 1500.0, 4000.0])
def test_the_distance_is_drawn_to_the_same_scale_as_the_vehicle(x_mm: float) -> None:
    made = pens(draw("reflector", OUTLINE, [at(x_mm, 0)], {}, say).svg)
    body = points(made["body"][0].split("M")[-1])
    scale = (max(x for x, _ in body) - min(x for x, _ in body)) / OUTLINE["width_mm"]
    plate = points(made["place"][0])
    middle = sum(y for _, y in plate) / len(plate)
    wheels = [points("M" + one) for one in made["dash"][0].split("M")[1:]]
    axle = min(sum(y for _, y in wheel) / 4 for wheel in wheels)
    assert axle - middle == pytest.approx(x_mm * scale, abs=0.6)


@pytest.mark.parametrize("name", ["stand", "reflector", "patterns"])
def test_squaring_shows_hubs_marks_and_four_tapes_whatever_is_squared(name: str) -> None:
    made = draw(name, OUTLINE, BOARDS, SQUARE, say)
    assert made.svg.count("<circle") >= 4
    assert re.findall(r'data-tape="(\w+)"', made.svg) == ["left_left", "left_right", "right_left", "right_right"]
    assert {"left hub", "right hub", "left mark", "right mark"} <= {text for text, _ in texts(made.svg)}
    assert say("drawing-alt-tapes") in made.alt


@pytest.mark.parametrize("hubs", [{}, {"hubs": "rear"}], ids=["before", "behind"])
def test_a_long_figure_in_inches_puts_no_name_into_a_key(hubs: dict[str, str]) -> None:
    made = draw("stand", OUTLINE, [], SQUARE | hubs, say, "in")
    assert {"59\xa01/16", "left hub", "right mark"} <= {text for text, _ in texts(made.svg)}
    assert not {"1", "2"} & {text for text, _ in texts(made.svg)}


def test_a_stand_that_should_be_turned_left_has_its_left_end_nearer() -> None:
    square = SQUARE | {"target": {"distance_mm": 1500.0, "offset_mm": 0.0, "yaw_deg": 4.0}}
    (left, right) = sorted(points(pens(draw("stand", OUTLINE, [], square, say).svg)["heavy"][0]))
    assert left[1] > right[1]


def test_behind_the_vehicle_the_stand_lies_below_it_and_its_left_end_farther_where_it_is_turned_left() -> None:
    target = {"distance_mm": 1500.0, "offset_mm": 0.0, "yaw_deg": 4.0}
    made = draw("stand", OUTLINE, [], SQUARE | {"hubs": "rear", "target": target}, say)
    drawn = pens(made.svg)
    left, right = sorted(points(drawn["heavy"][0]))
    assert left[1] > right[1] > max(y for _, y in points(drawn["body"][0].split("M")[-1]))
    assert "1\u2009500 mm behind the rear axle, on the centreline, turned 4° to the left" in made.alt
    assert "1\u2009500" in {text for text, _ in texts(made.svg)}


def test_the_tapes_behind_the_vehicle_start_at_the_rear_wheels() -> None:
    made = pens(draw("stand", OUTLINE, [], SQUARE | {"hubs": "rear"}, say).svg)
    wheels = [points("M" + one) for one in made["dash"][0].split("M")[1:]]
    axles = sorted({round(sum(y for _, y in wheel) / 4, 1) for wheel in wheels})
    assert len(axles) == 2
    assert [points(one)[0][1] for one in made["tape"]] == pytest.approx([axles[1]] * 4, abs=0.2)


def test_what_goes_there_is_dashed_and_what_is_there_is_solid() -> None:
    goes = draw("patterns", OUTLINE, MATS, {}, say).svg
    there = draw("patterns", OUTLINE, MATS, {"method": "values"}, say).svg
    assert 'class="place"' in goes
    assert 'class="place"' not in there
    assert 'class="laid"' in there


def test_the_axis_to_measure_shows_four_marks_and_the_axis_to_snap_a_dashed_line() -> None:
    measured = draw("axis", OUTLINE, [], {"method": "axis"}, say).svg
    snapped = draw("axis", OUTLINE, [], {}, say).svg
    assert say("drawing-mark-rear-left") in measured
    assert "goes" not in pens(measured)
    assert len(pens(snapped)["goes"][0].split("M")) == 3


def test_chocks_stand_at_both_rear_wheels_unless_others_are_named() -> None:
    usual = draw("chocks", OUTLINE, [], {}, say)
    front = draw("chocks", OUTLINE, [], {"wheels": ["front-left"]}, say)
    assert "left rear wheel" in usual.alt
    assert "right rear wheel" in usual.alt
    assert "left front wheel" in front.alt
    assert "rear" not in front.alt
    assert pens(front.svg)["place"][0].count("M") == 2


def test_an_area_that_no_calibration_asks_for_leaves_the_vehicle_alone() -> None:
    assert figures(draw("area", OUTLINE, [], {}, say).svg) == []


def test_a_stand_without_placements_is_drawn_without_a_figure() -> None:
    assert texts(draw("stand", OUTLINE, [], {}, say).svg) == []


def test_names_cannot_break_out_of_the_drawing() -> None:
    made = draw("stand", OUTLINE, [at(1500, 0, '<script>&"')], {}, say)
    assert "<script>" not in made.svg
    assert '<script>&"' in [text for text, _ in texts(made.svg)]


def test_a_drawing_nobody_knows_is_refused_by_name() -> None:
    with pytest.raises(NotFound) as refused:
        draw("sketch", OUTLINE, [], {}, say)
    assert refused.value.field == "drawing"
    assert "'sketch'" in refused.value.message


def test_every_step_that_asks_for_a_drawing_gets_one(library: Library) -> None:
    made = shipped(library)
    assert len(made) >= 3 * 15
    assert {drawing["svg"][:24] for _, drawing in made} == {'<svg class="top-view" xm'}
