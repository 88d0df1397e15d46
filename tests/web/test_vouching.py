"""A hold point from the supervisor's own phone: the step waits there, is accepted or sent back, never by its doer."""

from random import Random

import pytest
from flask import Flask

from tests.cast import ADA, ILYA, NOOR, TOMAS, Someone, scan_badge
from webapp.storage.rehearsal.readings import readings_inside

from .job import AtJob, Begin
from .markup import Page

CHOCK, SQUARE = "reference-axis/chock", "forward-camera-static/square"


@pytest.fixture
def held(at: Begin) -> AtJob:
    """An apprentice's step that waits; then the phone is a supervisor's."""
    job = at("/chock", ILYA)
    job.tap("confirm")
    scan_badge(job.client, ADA)
    return job


def test_what_waits_stands_on_a_supervisors_today_and_leads_to_the_step(held: AtJob) -> None:
    today = Page(held.client.get("/").text)
    assert "A step waits for you" in today.one("a", href="/waiting").text
    waiting = Page(held.client.get("/waiting").text)
    row = waiting.one("a", href=held.url).text
    assert ILYA.name in row
    assert held.step["do"] in row


def test_it_is_accepted_with_one_tap_and_neither_badge_nor_pin(held: AtJob) -> None:
    page = held.page()
    assert page.form().fields["do"] == "countersign"
    assert "Accept" in page.text
    assert not [one for one in page.elements if one.tag == "input" and one.attributes.get("name") == "badge"]
    held.tap("countersign")
    done = held.state.step(CHOCK)
    assert (done.status, done.done_by, done.countersigned_by) == ("done", ILYA.badge, ADA.badge)
    assert "Nothing waits" in held.client.get("/waiting").text
    assert "waits for you" not in held.client.get("/").text


def test_sent_back_it_is_the_apprentices_again_with_the_reason(held: AtJob) -> None:
    held.refused("return", 400, reason=" ")
    held.tap("return", reason="The left chock is loose.")
    was = held.state.step(CHOCK)
    assert (was.status, was.attempt, was.returned) == (
        "open",
        2,
        {"by": ADA.badge, "reason": "The left chock is loose."},
    )
    scan_badge(held.client, ILYA)
    page = held.page()
    assert "Sent back by a supervisor" in page.text
    assert "The left chock is loose." in page.text
    held.tap("confirm")
    assert held.state.step(CHOCK).status == "held"
    assert "The left chock is loose." not in held.page().text
    scan_badge(held.client, ADA)
    held.tap("countersign")
    record = held.client.get(f"{held.url}/record").text
    assert "The left chock is loose." in record


def test_a_tap_that_comes_twice_sends_back_once(held: AtJob) -> None:
    form = held.form("return", reason="Loose.")
    assert held.send(form).status_code == 303
    before = held.events()
    assert held.send(form).status_code in (303, 409)
    assert held.events() == before


def test_readings_are_shown_with_what_waits(at: Begin) -> None:
    job = at(SQUARE, ILYA, answers={"placing": "tape"})
    readings = readings_inside(job.step["measure"], Random(1))
    job.tap("measure", **readings)
    scan_badge(job.client, ADA)
    facts = " ".join(one.text for one in job.page().elements if one.tag == "li")
    for value in readings.values():
        assert value.removesuffix(" mm") in facts.replace("\u202f", "")


@pytest.mark.parametrize("do", ["countersign", "return"])
def test_nobody_vouches_for_themselves_on_whichever_phone(at: Begin, app: Flask, do: str) -> None:
    job = at("/secured", ADA)
    job.tap("confirm")
    assert job.state.step("reference-axis/secured").status == "held"
    reason = {"reason": "x"} if do == "return" else {}
    assert "nobody countersigns their own work" in job.refused(do, 403, **reason).alert
    assert job.page().one("input", name="badge")  # the page asks for somebody else
    scan_badge(job.client, ILYA)  # another phone, and her badge and PIN typed there
    job.refused(do, 403, badge=ADA.label, pin=ADA.pin, **reason)
    scan_badge(job.client, TOMAS)
    job.tap(do, **reason)


def test_a_countersign_step_is_not_her_own_who_did_what_came_before(at: Begin) -> None:
    job = at("/explain", NOOR)
    scan_badge(job.client, ADA)
    job.tap("confirm")
    assert job.step["id"] == "hand-over/release"
    job.refused("countersign", 403)
    scan_badge(job.client, NOOR)  # on another phone she is still the one who did it
    job.refused("countersign", 403, badge=ADA.label, pin=ADA.pin)
    scan_badge(job.client, TOMAS)
    job.tap("countersign")
    assert job.state.step("hand-over/release").countersigned_by == TOMAS.badge


def test_a_countersign_step_that_is_sent_back_begins_the_step_before_it_anew(at: Begin) -> None:
    job = at("/release", NOOR)
    scan_badge(job.client, ADA)
    job.tap("return", reason="The lamp is on.")
    again = job.state.step(job.state.current or "")
    assert job.state.current != "hand-over/release"
    assert again.returned == {"by": ADA.badge, "reason": "The lamp is on."}
    assert "The lamp is on." in job.page().text


@pytest.mark.parametrize("someone", [NOOR, ILYA])
def test_a_technicians_phone_asks_for_a_supervisors_badge_and_pin(held: AtJob, someone: Someone) -> None:
    scan_badge(held.client, someone)
    assert held.page().one("input", name="pin")
    held.refused("countersign", 403)
    held.refused("return", 403, reason="x")
    assert "waits for you" not in held.client.get("/").text


def test_what_is_a_supervisors_own_does_not_wait_for_them(at: Begin) -> None:
    job = at("/secured", ADA)
    job.tap("confirm")
    assert "Nothing waits" in job.client.get("/waiting").text
    scan_badge(job.client, TOMAS)
    assert job.url in job.client.get("/waiting").text
