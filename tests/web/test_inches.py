"""A shop that works in inches: fractions are typed and shown, and what is kept is in mm."""

import re
from collections.abc import Iterator

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy.engine import Engine

from tests.cast import ADA, NOOR, scan_badge
from webapp.config import Settings
from webapp.core.procedure import Library
from webapp.storage import kit
from webapp.storage.engine import session

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


@pytest.fixture
def in_inches(app: Flask, client: FlaskClient, library: Library) -> Iterator[FlaskClient]:
    """The demo shop with its lengths in inches; a supervisor's badge is scanned."""
    before = app.extensions["library"]
    app.extensions["library"] = library.model_copy(update={"unit": "in"})
    scan_badge(client, ADA)
    yield client
    app.extensions["library"] = before


PLAN = "Bay: 177 82-1/2; 177 -82.5; -276 -82\u00a01/2; -276 82-1/2"


def test_a_bay_is_measured_in_inches_and_kept_in_mm(in_inches: FlaskClient, demo_engine: Engine) -> None:
    page = in_inches.get("/kit/new").text.replace("\u2068", "").replace("\u2069", "")
    assert "Width in inches" in page
    assert "each two numbers in inches" in page
    sent = {"what": "bay:bay", "name": "Bay 9", "code": "B9", "width": "165 1/4", "length": "37' 8 3/4\"", "plan": PLAN}
    assert in_inches.post("/kit/new", data=sent).status_code == 303
    with session(demo_engine) as db:
        held = kit.item_of(db, "B9")
        assert (held.width_mm, held.length_mm) == pytest.approx((4197.35, 11499.85))
        assert held.plan is not None
        assert held.plan["corners"][0] == pytest.approx([177 * 25.4, 82.5 * 25.4])
        before = held.plan
    shown = re.search(r'<textarea id="plan"[^>]*>([^<]*)', in_inches.get("/kit/B9").text)
    assert shown
    assert shown[1] == "Bay: 177 82\u00a01/2; 177 \u221282\u00a01/2; \u2212276 \u221282\u00a01/2; \u2212276 82\u00a01/2"
    assert in_inches.post("/kit/B9", data={"name": "Bay 9", "plan": shown[1]}).status_code == 303
    with session(demo_engine) as db:
        assert kit.item_of(db, "B9").plan == before


def test_a_bay_of_no_size_is_refused_in_inches(in_inches: FlaskClient) -> None:
    sent = {"what": "bay:bay", "name": "Bay 9", "width": "4", "length": "400"}
    assert "width=&#39;4&#39; must lie within 39.37 to 1968.5 in" in in_inches.post("/kit/new", data=sent).text
    plan = {"what": "bay:bay", "name": "Bay 9", "plan": "Bay: 1 2; 3"}
    assert "must be two numbers in inches, forward and to the left" in in_inches.post("/kit/new", data=plan).text


def test_the_plan_s_clear_floor_is_told_in_inches(in_inches: FlaskClient) -> None:
    answer = in_inches.post("/jobs/new", data={"vin": "0RVWA4G2XK1000417"})
    url = answer.headers["Location"].removesuffix("/intake")
    asked = {"vehicle": "orvane-wagon", "asked": "orvane-wagon", "repair_order": "RO 1", "odometer_km": "1"}
    asked |= {"reasons": "windscreen-replaced", "q-driven-axles": "all", "q-wheel-size": "large", "go": "plan"}
    in_inches.post(f"{url}/intake", data=asked)
    page = in_inches.get(f"{url}/plan").text.replace("\u2068", "").replace("\u2069", "")
    assert re.search(
        r"\d+ in long and \d+ in wide: \d+ in ahead of the vehicle, \d+ in behind, \d+ in on each side", page
    )
    assert " m long" not in page
