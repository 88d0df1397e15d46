"""In no drawing does one label stand on another or run off the sheet, however long the names and odd the places."""

import re
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as some

from tests.drawings import FLOOR, OUTLINE, SQUARE, at, quarrels, shipped, size, texts
from webapp.core.drawing import draw
from webapp.core.drawing.lettering import figure, width_px, wrap
from webapp.core.drawing.marks import Box
from webapp.core.drawing.pens import PENS
from webapp.core.procedure import Library
from webapp.library.tongues import tongues
from webapp.messages import say
from webapp.paths import PROCEDURES, STATIC

LONG = "Zielhalter am Ausleger des Ständers, links"


def long_words(name: str, **more: Any) -> str:
    """Wording in which every short name has 40 characters, as a translation may."""
    text = say(name, **more)
    return (
        text
        if len(text) > 40 or not name.startswith("drawing-") or more
        else (text + " und noch mehr davon hier dran")[:40]
    )


def test_the_drawings_that_ship_are_clear_to_read(library: Library) -> None:
    assert {name: wrong for name, drawing in shipped(library) if (wrong := quarrels(drawing["svg"]))} == {}


def test_they_stay_so_in_inches_whose_fractions_are_longer(library: Library) -> None:
    made = shipped(library.model_copy(update={"unit": "in"}))
    assert {name: wrong for name, drawing in made if (wrong := quarrels(drawing["svg"]))} == {}


def test_they_stay_so_in_a_language_of_long_names(library: Library) -> None:
    made = shipped(library, long_words)
    assert {name: wrong for name, drawing in made if (wrong := quarrels(drawing["svg"]))} == {}


def test_in_spanish_names_are_said_and_the_drawings_are_as_clear(library: Library) -> None:
    made = shipped(library, tongues(PROCEDURES)["es"].say)
    assert {name: wrong for name, drawing in made if (wrong := quarrels(drawing["svg"]))} == {}
    shown = [" ".join(text for text, _ in texts(drawing["svg"])) for _, drawing in made]
    assert any("Soporte, placa central" in one for one in shown)
    assert any("Detrás, izquierda" in one for one in shown)
    assert not [one for one in shown if "Stand, " in one or "Behind, " in one]


def test_the_drawings_that_ship_need_no_key(library: Library) -> None:
    assert [name for name, drawing in shipped(library) if 'r="9"' in drawing["svg"]] == []


def test_a_drawing_leaves_room_for_the_rest_of_the_step(library: Library) -> None:
    assert max(size(drawing["svg"])[1] for _, drawing in shipped(library)) <= 370


def test_names_without_room_become_numbers_with_a_key() -> None:
    boards = [at(1500, y, f"{LONG} {y}", height_mm=1200.0) for y in (900, 300, -300, -900)]
    svg = draw("stand", OUTLINE, boards, {}, say).svg
    shown = [text for text, _ in texts(svg)]
    assert [shown.count(number) for number in "1234"] == [2, 2, 2, 2]
    assert f"{LONG} -300, height 1\u2009200" in " ".join(shown)
    assert quarrels(svg) == []


words = some.text(some.sampled_from("abcdé-mn,WM"), min_size=1, max_size=14)
names = some.lists(words, min_size=1, max_size=6).map(" ".join).map(lambda name: name[:40].strip())
# Half a metre apart: nothing that is placed or surveyed stands closer.
ahead_mm, aside_mm = some.integers(-12, 10).map(lambda n: n * 500.0), some.integers(-5, 5).map(lambda n: n * 500.0)
placements = some.lists(
    some.builds(
        at,
        x_mm=ahead_mm,
        y_mm=aside_mm,
        name=names,
        height_mm=some.none() | some.floats(0, 2500),
        yaw_deg=some.none() | some.floats(-90, 90),
        size_mm=some.none() | some.lists(some.floats(100, 1600), min_size=2, max_size=2),
    ),
    max_size=6,
    unique_by=lambda one: (one["x_mm"], one["y_mm"]),
)


@settings(max_examples=60, deadline=None)
@given(some.sampled_from(["stand", "reflector", "patterns"]), placements)
@example("stand", [at(0.0, -500.0 * number, "M") for number in range(4)])
def test_targets_anywhere_leave_every_name_and_figure_readable(name: str, placed: list[dict[str, Any]]) -> None:
    svg = draw(name, OUTLINE, placed, {}, say).svg
    shown = " ".join(text for text, _ in texts(svg))
    assert quarrels(svg) == []
    assert all(word in shown for one in placed for word in one["spot_name"].split(" "))


@settings(max_examples=40, deadline=None)
@given(placements)
def test_heights_anywhere_leave_every_name_and_figure_readable(placed: list[dict[str, Any]]) -> None:
    svg = draw("heights", OUTLINE, placed, {}, say).svg
    shown = " ".join(text for text, _ in texts(svg))
    assert quarrels(svg) == []
    high = [one for one in placed if one["height_mm"] is not None]
    assert all(word in shown for one in high for word in one["spot_name"].split(" "))


@settings(max_examples=40, deadline=None)
@given(
    some.floats(1000, 6000),
    some.floats(-800, 800),
    some.floats(-10, 10),
    some.floats(400, 2400),
    some.floats(1200, 2200),
    some.sampled_from([{}, {"hubs": "rear"}]),
)
def test_a_stand_anywhere_is_squared_in_a_clear_drawing(
    distance: float, offset: float, yaw: float, bar: float, track: float, hubs: dict[str, str]
) -> None:
    target = {"distance_mm": distance, "offset_mm": offset, "yaw_deg": yaw}
    square = SQUARE | {"target": target, "bar_mm": bar, "track_mm": track} | hubs
    assert quarrels(draw("stand", OUTLINE, [], square, say).svg) == []


@settings(max_examples=40, deadline=None)
@given(some.lists(some.tuples(ahead_mm, aside_mm, names), min_size=3, max_size=9, unique_by=lambda one: one[:2]))
def test_survey_points_anywhere_leave_every_name_and_figure_readable(points: list[tuple[float, float, str]]) -> None:
    made = [{"name": str(number), "label": label, "x_mm": x, "y_mm": y} for number, (x, y, label) in enumerate(points)]
    assert quarrels(draw("floor", OUTLINE, [], FLOOR | {"points": made}, say).svg) == []


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (1500.0, "1\u2009500"),
        (0.25, "0.3"),
        (-0.01, "0"),
        (-12.5, "−12.5"),
        (1234567.0, "1\u2009234\u2009567"),
        (999.96, "1\u2009000"),
    ],
)
def test_figures_are_written_as_on_a_workshop_drawing(value: float, text: str) -> None:
    assert figure(value) == text


def test_lines_break_at_blanks_and_a_long_word_keeps_its_line() -> None:
    assert wrap("left arm of the stand", 13, 60) == ("left arm", "of the", "stand")
    assert wrap("Querbalkenmarkierung", 13, 30) == ("Querbalkenmarkierung",)


def test_an_accent_takes_no_room_and_an_unknown_letter_plenty() -> None:
    assert width_px("é", 13) == width_px("e", 13)
    assert width_px("Ж", 13) > width_px("N", 13)
    assert width_px("測", 13) >= 13


def test_a_line_crosses_a_box_also_where_both_its_ends_lie_outside() -> None:
    box = Box(10, 10, 20, 20)
    assert box.crossed_by((0, 0), (30, 30))
    assert not box.crossed_by((0, 0), (30, 9))
    assert not box.crossed_by((0, 25), (5, 12))


def inks_of_paper() -> dict[str, str]:
    """The app's inks in the light: value -> name."""
    light = (STATIC / "css" / "baybook.css").read_text().split("@media")[0]
    return {value: name for name, value in reversed(re.findall(r"--([\w-]+): (#[0-9a-f]{6});", light))}


def test_every_pen_follows_the_page_from_light_to_dark() -> None:
    css = re.sub(r"/\*.*?\*/", "", (STATIC / "css" / "drawing.css").read_text(), flags=re.DOTALL)
    rules = [rule.split("{") for rule in css.split("}") if "{" in rule]
    inks = inks_of_paper()
    for pen, held in PENS.items():
        said = " ".join(body for heads, body in rules if re.search(rf"\.{pen}(?![\w-])", heads))
        for part, ink in (("fill", held.fill), ("stroke", held.stroke if held.width_px else "none")):
            assert ink == "none" or f"{part}: var(--{inks[ink]})" in said, f"{pen} {part}"
