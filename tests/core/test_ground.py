"""Heights read up from the floor: their limits follow the floor of this very bay, and the page says why."""

from typing import Any

import pytest

from tests.mirror.taps import FLOOR
from tests.sheets import Hands, every_kind, step
from webapp.core.measure.ground import grounded
from webapp.core.view import job_page
from webapp.messages import say

SPOT = {"x_mm": 1500, "y_mm": 420.5}
HEIGHT = {"label": "Board", "unit": "mm", "low": 1257, "high": 1263, "instrument": "tape", "u": None, "above": SPOT}
HEIGHTS = {
    "method": "values",
    "readings": [HEIGHT | {"name": "board"}],
    "compare": [],
}


def surveyed(ahead_mm: float) -> Hands:
    """A job whose floor lies level under the tyres and so much higher or lower ahead of them."""
    sheet = every_kind()
    sheet["steps"] = [step("survey", "measure", measure=FLOOR), step("height", "measure", measure=HEIGHTS)]
    hands = Hands(sheet=sheet)
    read = {f"point_{n}": str(ahead_mm) for n in range(5)}
    read |= {f"tyre_{axle}_{side}": "0" for axle in ("front", "rear") for side in ("left", "right")}
    hands.tap("measure", **read)
    return hands


def shown(hands: Hands) -> Any:
    return job_page(hands.sheet, hands.state, hands.clock(), say)["step"]["measure"]


def plain(text: str) -> str:
    return text.replace("\u2068", "").replace("\u2069", "")


@pytest.mark.parametrize(
    ("ahead_mm", "reads", "words"),
    [
        (-4.0, "1\u202f264", "lies 4.0 mm lower here"),
        (2.5, "1\u202f257.5", "lies 2.5 mm higher here"),
        (0.0, "1\u202f260", "lies level with"),
    ],
)
def test_the_page_says_what_the_tape_should_read(ahead_mm: float, reads: str, words: str) -> None:
    (field,) = shown(surveyed(ahead_mm))["fields"]
    assert f"Should read {reads} mm." in plain(field["floor"])
    assert words in plain(field["floor"])


@pytest.mark.parametrize(("typed", "verdict"), [("1264", "inside"), ("1260", "too-close-to-call"), ("1257", "outside")])
def test_the_verdict_goes_by_the_floor_and_by_how_sure_the_survey_is(typed: str, verdict: str) -> None:
    hands = surveyed(-4.0)
    hands.tap("measure", board=typed)
    result = hands.events[-1].data["result"]
    part = result["parts"][0]
    assert (result["verdict"], part["low"], part["high"]) == (verdict, 1261, 1267)
    assert part["floor"]["fall_mm"] == 4.0
    assert part["U"] == pytest.approx(2 * (0.7**2 / 3 + part["floor"]["u_mm"] ** 2) ** 0.5)


def test_without_a_survey_nothing_is_allowed_for_and_the_page_says_so() -> None:
    hands = surveyed(-4.0)
    hands.sheet["steps"] = hands.sheet["steps"][1:]
    (field,) = shown(hands)["fields"]
    assert field["floor"] == say("floor-not-surveyed")
    hands.tap("measure", board="1260")
    assert hands.events[-1].data["result"]["parts"][0]["low"] == 1257


def test_a_survey_that_is_undone_counts_no_more() -> None:
    hands = surveyed(-4.0)
    hands.tap("undo", step="work/survey", attempt="1", reason="Level knocked.")
    assert hands.state.current == "work/survey"
    again = {f"point_{n}": "-1" for n in range(5)} | {f"tyre_{a}_{s}": "0" for a in ("front", "rear") for s in SIDES}
    hands.tap("measure", **again)
    assert "1.0 mm lower" in plain(shown(hands)["fields"][0]["floor"])


SIDES = ("left", "right")


def test_a_difference_of_two_heights_is_shifted_by_the_difference_of_their_floors() -> None:
    there = {"x_mm": 1500, "y_mm": -420.5}
    measure = {
        "readings": [HEIGHT | {"name": "left"}, HEIGHT | {"name": "right", "above": there}],
        "compare": [{"of": ["left", "right"], "low": -2, "high": 2}],
    }
    spots = [SPOT | {"fall_mm": 3.04, "u_fall_mm": 0.4}, there | {"fall_mm": 1.0, "u_fall_mm": 0.4}]
    found = grounded(measure, {"spots": spots})
    assert [one["low"] for one in found["readings"]] == [1260, 1258]
    assert (found["compare"][0]["low"], found["compare"][0]["high"]) == (0, 4)
