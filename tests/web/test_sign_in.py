"""Beginning to work on a shared phone: badge, PIN, and a lock for a phone that nobody uses."""

import time
from dataclasses import replace

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy.engine import Engine

from tests.cast import ADA, ILYA, NOOR, TOMAS, scan_badge
from webapp.config import Settings
from webapp.core.labels import Label, label_text
from webapp.storage import devices, people
from webapp.storage.engine import writing
from webapp.storage.keys import as_jwk

from ..sync.phone import Phone
from .job import Begin
from .markup import Page


def here(client: FlaskClient) -> str:
    """Who works with this phone, as its pages say."""
    return Page(client.get("/badge").text).one("a", class_="who").text


def left_lying(client: FlaskClient, seconds: int) -> None:
    """So long ago somebody used this phone last."""
    with client.session_transaction() as cookie:
        cookie["used"] = int(time.time()) - seconds


def test_a_badge_asks_for_the_pin_and_the_pin_begins(client: FlaskClient) -> None:
    asked = client.post("/badge", data={"badge": NOOR.label})
    assert asked.status_code == 200
    page = Page(asked.text)
    assert page.one("h1").text == NOOR.name
    assert page.value("badge") == [NOOR.label]
    assert page.one("input", id="pin")["inputmode"] == "numeric"
    assert [one["data-key"] for one in page.elements if one.has("data-key")] == [*"123456789", "back", "0"]
    assert here(client) == "no badge scanned"
    answer = client.post("/badge", data={"badge": NOOR.label, "pin": NOOR.pin})
    assert (answer.status_code, answer.headers["Location"]) == (303, "/")
    assert here(client) == NOOR.name


@pytest.mark.parametrize("pin", ["0000", ADA.pin, "12", "9" * 200])
def test_a_wrong_pin_begins_nothing_and_is_asked_for_again(client: FlaskClient, pin: str) -> None:
    answer = client.post("/badge", data={"badge": NOOR.label, "pin": pin})
    assert answer.status_code == 403
    page = Page(answer.text)
    assert f"pin is not that of {NOOR.name}" in page.alert
    assert page.value("badge") == [NOOR.label]
    assert page.value("pin") == [""]
    assert here(client) == "no badge scanned"


def test_who_has_no_pin_yet_is_told_who_gives_one(client: FlaskClient, demo_engine: Engine) -> None:
    with writing(demo_engine) as db:
        people.add_person(db, "Mira", "technician", code="MIRA22")
    answer = client.post("/badge", data={"badge": label_text(Label("badge", "MIRA22")), "pin": "2468"})
    assert answer.status_code == 400
    assert "Mira has no PIN yet; a supervisor or a manager gives one" in Page(answer.text).alert


def test_the_field_of_the_pin_takes_another_badge_and_then_it_is_their_turn(client: FlaskClient) -> None:
    answer = client.post("/badge", data={"badge": NOOR.label, "pin": ILYA.label})
    assert Page(answer.text).one("h1").text == ILYA.name


def test_a_phone_that_nobody_used_asks_for_the_pin_and_goes_on_at_the_very_page(client: FlaskClient, at: Begin) -> None:
    job = at("/hang-boards")
    left_lying(client, 15 * 60 + 5)
    for path in (f"{job.url}/steps", "/kit", "/", "/times?weeks=4"):
        answer = client.get(path)
        assert answer.status_code == 303, path
    assert client.get("/kit").headers["Location"] == "/badge?to=/kit"
    asked = client.get(client.get(f"{job.url}/steps").headers["Location"])
    page = Page(asked.text)
    assert "This phone is locked" in page.text
    assert page.one("h1").text == NOOR.name
    (to,) = set(page.value("to"))
    assert to == f"{job.url}/steps"
    assert client.post("/badge", data={"pin": "0000", "to": to}).status_code == 403
    answer = client.post("/badge", data={"pin": NOOR.pin, "to": to})
    assert (answer.status_code, answer.headers["Location"]) == (303, to)
    assert client.get(to).status_code == 200
    assert here(client) == NOOR.name


def test_a_tap_on_a_locked_phone_is_refused_and_what_was_typed_stays(client: FlaskClient, at: Begin) -> None:
    job = at("/square")
    form = job.form("measure", left_left="1506", right_right="1516")
    left_lying(client, 3600)
    before = job.events()
    answer = client.post(job.url, data=form)
    assert answer.status_code == 403
    page = Page(answer.text)
    assert "this phone is locked" in page.alert
    assert page.value("left_left") == ["1506"]
    assert job.events() == before
    assert client.post("/badge", data={"pin": NOOR.pin}, headers={"Accept": "application/json"}).status_code == 204
    assert client.post(job.url, data=form).status_code == 400  # two tapes are lacking: it is read again
    assert here(client) == NOOR.name


def test_a_locked_phone_signs_nothing_for_whoever_had_it(client: FlaskClient) -> None:
    scan_badge(client, ADA)
    left_lying(client, 3600)
    sent = {"name": "Mira", "role": "technician", "your_pin": ADA.pin}
    assert client.post("/people/new", data=sent).status_code == 403
    assert client.post("/phones/codes").status_code == 403
    assert client.get("/phone/who").get_json() == {"person": None}


def test_a_phone_that_is_used_stays_open(client: FlaskClient) -> None:
    scan_badge(client, NOOR)
    left_lying(client, 14 * 60)
    assert client.get("/kit").status_code == 200
    with client.session_transaction() as cookie:
        assert time.time() - cookie["used"] < 60
    left_lying(client, 14 * 60)
    assert client.post("/badge", data={"used": "1"}).status_code == 204  # a hand on the page is told by a script
    with client.session_transaction() as cookie:
        assert time.time() - cookie["used"] < 60
    left_lying(client, 16 * 60)
    assert client.post("/badge", data={"used": "1"}).status_code == 403


def test_the_use_of_a_phone_is_noted_once_a_minute_and_not_with_every_tap(client: FlaskClient) -> None:
    scan_badge(client, NOOR)
    assert "Set-Cookie" not in client.get("/kit").headers
    left_lying(client, 61)
    assert "Set-Cookie" in client.get("/kit").headers


def test_the_shop_says_how_long_a_phone_stays_open(client: FlaskClient, app: Flask, shop: Settings) -> None:
    app.extensions["settings"] = replace(shop, lock_after_s=60)
    scan_badge(client, NOOR)
    assert Page(client.get("/kit").text).one("dialog", class_="lock")["data-after-s"] == "60"
    left_lying(client, 62)
    assert client.get("/kit").status_code == 303


def test_it_is_locked_at_once_given_back_or_taken_over(client: FlaskClient) -> None:
    scan_badge(client, NOOR)
    assert client.post("/badge", data={"lock": "1"}).status_code == 303
    assert client.get("/kit").status_code == 303
    other = client.post("/badge", data={"other": "1", "to": "/kit"})
    assert Page(other.text).one("input", id="badge")
    scan_badge(client, ILYA)
    assert here(client) == ILYA.name
    client.post("/badge", data={"leave": "1"})
    assert client.get("/kit").status_code == 200
    assert here(client) == "no badge scanned"


@pytest.mark.parametrize("to", ["//evil.example", "https://evil.example/", "/\\evil.example", "/kit\r\nX: y"])
def test_nobody_is_led_away_from_the_shop(client: FlaskClient, to: str) -> None:
    answer = client.post("/badge", data={"badge": NOOR.label, "pin": NOOR.pin, "to": to})
    assert answer.headers["Location"] == "/"


def test_a_script_is_answered_in_json(client: FlaskClient) -> None:
    scan_badge(client, NOOR)
    asks = {"Accept": "application/json"}
    answer = client.post("/badge", data={"pin": "0000"}, headers=asks)
    assert (answer.status_code, answer.get_json()["error"]["code"]) == (403, "pin-wrong")
    assert client.post("/badge", data={"pin": NOOR.pin}, headers=asks).status_code == 204


def test_a_cookie_of_before_there_were_pins_asks_for_one(client: FlaskClient) -> None:
    with client.session_transaction() as cookie:
        cookie["person"] = NOOR.badge
    assert client.get("/kit").status_code == 303
    assert client.post("/badge", data={"pin": NOOR.pin}).status_code == 303
    assert client.get("/kit").status_code == 200


def test_who_guesses_keeps_nobody_off_the_phones_that_know_them(client: FlaskClient, app: Flask) -> None:
    scan_badge(client, ADA)
    stranger = app.test_client()
    for _ in range(5):
        stranger.post("/badge", data={"badge": ADA.label, "pin": "0000"})
    refused = stranger.post("/badge", data={"badge": ADA.label, "pin": ADA.pin})
    assert "pin was wrong 5 times on this phone" in Page(refused.text).alert
    fresh = app.test_client().post("/badge", data={"badge": ADA.label, "pin": ADA.pin})
    assert fresh.status_code == 403  # cookies thrown away make no new phone of it
    scan_badge(client, ADA)
    scan_badge(stranger, TOMAS)
    for _ in range(5):  # and one that knows somebody else is no better a place to guess
        stranger.post("/badge", data={"badge": NOOR.label, "pin": "0000"})
    scan_badge(client, ADA)


def test_what_was_begun_on_a_phone_ends_when_the_phone_is_turned_away(
    client: FlaskClient, demo_engine: Engine, at: Begin
) -> None:
    job = at("/chock", ADA)
    with writing(demo_engine) as db:
        code = devices.make_code(db, ADA.badge, "2026-03-02T08:00:00.000Z")
        key = as_jwk(Phone().key.public_key())
        name = devices.pair(db, code, key, "Phone", "2026-03-02T08:00:01.000Z").id
    with client.session_transaction() as cookie:
        cookie["device"] = name
    assert client.get(job.url).status_code == 200
    assert here(client) == ADA.name
    with writing(demo_engine) as db:
        devices.revoke(db, name, TOMAS.badge, "2026-03-02T09:00:00.000Z")
    assert here(client) == "no badge scanned"
    assert client.post("/phones/codes").status_code == 403
    job.tap("confirm")
    assert job.events()[-1].person is None
