"""A shop that works in inches: fractions are typed and shown, and what is kept is in mm."""

import pytest
from flask.testing import FlaskClient
from sqlalchemy.engine import Engine

from tests.cast import NOOR, scan_badge
from webapp.config import Settings
from webapp.core.procedure import Library

from .job import AtJob, begin

SQUARE = "forward-camera-static/square"
TYPED = {"left_left": "59 5/16", "right_right": '59 11/16"', "left_right": "80 3/16", "right_left": "80 3/8 in"}
READ_MM = {"left_left": 1506.5375, "right_right": 1516.0625, "left_right": 2036.7625, "right_left": 2041.525}


@pytest.fixture
def taping(client: FlaskClient, demo_engine: Engine, library: Library, shop: Settings) -> AtJob:
    scan_badge(client, NOOR)
    inches = library.model_copy(update={"unit": "in"})
    return begin(client, demo_engine, inches, shop.photos, SQUARE, answers={"placing": "tape"})


def test_the_fields_ask_for_inches_on_a_keyboard_that_has_fractions(taping: AtJob) -> None:
    field = taping.page().one("input", name="left_left")
    assert field.attributes["inputmode"] == "text"
    assert "59 1/16" in taping.page().text, "the distance in the drawing"


def test_fractions_are_kept_in_mm_and_answered_in_inches(taping: AtJob) -> None:
    taping.tap("measure", **TYPED)
    event = taping.events()[-1]
    assert event.data["readings"] == pytest.approx(READ_MM, abs=1e-9)
    shown = taping.page().text
    assert "58 7/8 to 59 1/4 in · 1 495 to 1 505 mm" in shown
    assert "Slide it 5/16 in to the right" in shown
    assert f"{event.data['result']['parts'][0]['value'] / 25.4:.3f}" in shown


def test_what_no_rule_shows_is_refused_in_the_shops_unit(taping: AtJob) -> None:
    page = taping.refused("measure", **TYPED | {"left_left": "59 5/7"})
    assert "left_left='59 5/7' must be one number in inches, such as 59 1/4 or 59.25" in page.text
    assert page.one("input", name="left_left")["value"] == "59 5/7"
