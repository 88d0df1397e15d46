"""The drawing that the phone makes alone: how a stand must move."""

import re
import xml.etree.ElementTree as ET
from dataclasses import asdict
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from tests.drawings import SVG, quarrels
from webapp.core.drawing import stand_move
from webapp.core.drawing.pens import PENS
from webapp.core.measure.advice import advise
from webapp.core.measure.square import FRONT, REAR, Hubs, Pose, square_stand, tapes_at
from webapp.core.measure.square import Tapes as Readings
from webapp.messages import say
from webapp.web import mustache

TRACK_MM, BAR_MM = 1560.0, 1200.0
TARGET = {"distance_mm": 1500.0, "offset_mm": 0.0, "yaw_deg": 0.0}


def squared(readings: Readings, target: dict[str, float] = TARGET, hubs: Hubs = FRONT) -> dict[str, Any]:
    """What the square measurement answers, made by the sum itself."""
    found = square_stand(TRACK_MM, BAR_MM, readings, Readings(1, 1, 1, 1), hubs)
    advice = advise(TRACK_MM, BAR_MM, found, Pose(**target), hubs)
    pose = asdict(found.pose) if found.pose else {}
    return {"fits": found.fits, "misfit": found.misfit, "advice": list(advice)} | pose


def standing(
    distance_mm: float, offset_mm: float, yaw_deg: float, target: dict[str, float] = TARGET, hubs: Hubs = FRONT
) -> dict[str, Any]:
    tapes = tapes_at(TRACK_MM, BAR_MM, Pose(distance_mm, offset_mm, yaw_deg), hubs)
    made = stand_move(squared(tapes, target, hubs), target, say, hubs=hubs)
    assert made is not None
    return made


def page(name: str, data: dict[str, Any]) -> str:
    return mustache.render(name, data)


def numbers(line: dict[str, str]) -> tuple[float, float, float, float]:
    x1, y1, x2, y2 = (float(line[name]) for name in ("x1", "y1", "x2", "y2"))
    return x1, y1, x2, y2


def test_the_trade_s_example_turns_back_right_and_slides_right() -> None:
    made = stand_move(squared(Readings(1506, 1516, 2036, 2041)), TARGET, say)
    assert made is not None
    x1, left, x2, right = numbers(made["here"])
    assert left > right  # turned left: the left end is nearer, so lower on the page
    assert (x1 + x2) / 2 < 165  # and it stands too far left
    assert made["note"] == say("drawing-larger", times="20")
    assert "1. Turn: left end 4 mm away from the vehicle, right end 4 mm nearer." in made["alt"]
    assert "2. Slide 8 mm to the right." in made["alt"]
    assert [one["number"] for one in made["arrows"]] == ["1", "1", "2"]


def test_the_turn_is_drawn_twenty_times_larger() -> None:
    x1, left, x2, right = numbers(standing(1500, 0, 0.5)["here"])
    assert (left - right) / (x2 - x1) == pytest.approx(0.1763, abs=0.002)  # tan 10°


@pytest.mark.parametrize(
    ("pose", "hubs", "arrow"),
    [
        ((1500, 8, 0), FRONT, (1, 0)),
        ((1500, -8, 0), FRONT, (-1, 0)),
        ((1512, 0, 0), FRONT, (0, 1)),
        ((1488, 0, 0), FRONT, (0, -1)),
        ((1500, 8, 0), REAR, (1, 0)),
        ((1500, -8, 0), REAR, (-1, 0)),
        ((1512, 0, 0), REAR, (0, -1)),
        ((1488, 0, 0), REAR, (0, 1)),
    ],
    ids=[
        f"too {way} {place}" for place in ("before", "behind") for way in ("far left", "far right", "far away", "near")
    ],
)
def test_an_arrow_points_the_way_the_stand_must_go(
    pose: tuple[float, float, float], hubs: Hubs, arrow: tuple[int, int]
) -> None:
    (only,) = standing(*pose, hubs=hubs)["arrows"]
    x1, y1, x2, y2 = numbers(only)
    assert ((x2 > x1) - (x2 < x1), (y2 > y1) - (y2 < y1)) == arrow
    tip = [float(one) for one in re.split("[ ,]", only["head"])[:2]]
    assert (tip[0] - x2) * arrow[0] >= 0
    assert (tip[1] - y2) * arrow[1] >= 0


def test_what_is_far_off_is_drawn_less_large_and_says_so() -> None:
    assert standing(1500, 60, 0)["note"] == say("drawing-larger", times="5")
    assert standing(1900, 700, 0)["note"] == say("drawing-not-to-scale")


def test_a_stand_in_its_place_has_no_arrows() -> None:
    made = standing(1500.1, 0.1, 0.001)
    assert made["arrows"] == []
    assert made["note"] == say("drawing-in-its-place")


def test_four_tapes_that_do_not_fit_give_no_drawing() -> None:
    assert stand_move(squared(Readings(1506, 1516, 2046, 2041)), TARGET, say) is None


def test_a_target_that_is_itself_turned_is_drawn_turned() -> None:
    _, left, _, right = numbers(standing(1500, 0, 2, TARGET | {"yaw_deg": 2.0})["goes"])
    assert left > right


def test_a_stand_behind_is_drawn_as_it_stands_below_the_vehicle() -> None:
    """Seen from above too: turned left, its left end lies lower on the page, which is away from the vehicle here."""
    made = standing(1500, 8, 0.5, hubs=REAR)
    x1, left, x2, right = numbers(made["here"])
    assert left > right
    assert (x1 + x2) / 2 < 165
    assert "1. Turn: left end 5 mm nearer, right end 5 mm away from the vehicle." in made["alt"]
    assert made["alt"].startswith("Seen from above, the vehicle above")
    (body,) = [one for one in ET.fromstring(page("stand-move", made)).iter(f"{SVG}g") if one.get("class") == "body"]
    assert re.findall(r"^M107 (\d+)", body[0].get("d", "")) == ["4"]


@settings(max_examples=80, deadline=None)
@given(
    some.floats(-60, 60),
    some.floats(-60, 60),
    some.floats(-5, 5),
    some.sampled_from([0.0, 2.0, -2.0]),
    some.sampled_from([FRONT, REAR]),
)
def test_no_two_texts_of_a_move_meet(
    far_mm: float, off_mm: float, turned_deg: float, wanted_deg: float, hubs: Hubs
) -> None:
    target = TARGET | {"yaw_deg": wanted_deg}
    made = standing(1500 + far_mm, off_mm, wanted_deg + turned_deg, target, hubs)
    svg = page("stand-move", made)
    assert quarrels(svg.replace('r="8.5"', 'r="9"')) == []
    assert ET.fromstring(svg).get("aria-label") == made["alt"]


def test_the_template_draws_with_the_pens_of_all_drawings() -> None:
    groups = list(ET.fromstring(page("stand-move", standing(1512, 8, 0.4))).iter(f"{SVG}g"))
    named = {one.get("class", ""): one for one in groups if one.get("class") != "lettering"}
    assert len(named) >= 6
    for pen, group in named.items():
        wanted = dict(re.findall(r'([\w-]+)="([^"]*)"', PENS[pen].attributes()))
        assert {attribute: group.get(attribute) for attribute in wanted} == wanted, pen
