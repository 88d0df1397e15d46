"""The guard: a tap that comes twice, late, out of order or from elsewhere changes nothing."""

import pytest
from flask.testing import FlaskClient

from tests.cast import ADA

from .job import Begin
from .markup import Page


def test_a_step_posted_twice_is_done_once(at: Begin) -> None:
    job = at("/load")
    form = job.form("confirm")
    assert job.send(form).status_code == 303
    before = job.events()
    again = job.send(form)
    assert (again.status_code, again.headers["Location"]) == (303, job.url)
    assert job.events() == before


def test_a_page_drawn_before_another_phone_went_on_changes_nothing(at: Begin) -> None:
    job = at("/load")
    stale = job.form("confirm")
    job.tap("leave-undone", reason="No scale here.")
    before = job.events()
    answer = job.send(stale)
    assert answer.status_code == 409
    page = Page(answer.text)
    assert "That page was drawn earlier. Nothing was changed" in page.text
    assert page.one("article", class_="step")["data-step"] == job.state.current
    assert job.events() == before


def test_a_page_from_before_an_undo_changes_nothing(at: Begin) -> None:
    job = at("/load")
    form = job.form("confirm")
    job.tap("confirm")
    job.send({"do": "undo", "step": form["step"], "attempt": "1", "turn": "1", "reason": "Wrong vehicle."})
    before = job.events()
    assert job.send(form).status_code == 409
    assert job.events() == before
    job.tap("confirm")
    assert job.state.step(form["step"]).attempt == 2


def test_a_form_that_was_answered_before_leads_on_and_is_not_answered_again(at: Begin) -> None:
    job = at("/walk-round")
    form = job.form("choose", option=job.step["options"][0]["value"])
    job.send(form)
    job.tap("choose", option=job.step["options"][0]["value"])
    before = job.events()
    assert job.send(form).headers["Location"] == job.url
    assert job.events() == before


@pytest.mark.parametrize(
    ("change", "status", "says"),
    [
        ({"step": "hand-over/explain"}, 409, "That page was drawn earlier"),  # out of order
        ({"step": "vehicle-ready/walk-round", "turn": "5"}, 409, "That page was drawn earlier"),  # done long ago
        ({"step": "equipment-check/boards-clean"}, 400, "is not on this job's sheet"),  # of another job
        ({"step": ""}, 400, "is not on this job's sheet"),
        ({"attempt": "7"}, 409, "That page was drawn earlier"),
        ({"attempt": "", "turn": ""}, 409, "That page was drawn earlier"),
        ({"turn": "1"}, 409, "That page was drawn earlier"),
        ({"do": "scan", "text": "BAY.T.P-1.V"}, 400, "do=scan does not end a confirm step; expected confirm"),
        ({"do": "result", "outcome": "done"}, 400, "does not end a confirm step"),
        ({"do": "explode"}, 400, "do='explode' is not an action"),
        ({"do": ""}, 400, "do='' is not an action"),
        ({"do": "countersign", "badge": ADA.label, "pin": ADA.pin}, 400, "does not end a confirm step"),
    ],
)
def test_a_tap_that_does_not_belong_here_changes_nothing(
    at: Begin, change: dict[str, str], status: int, says: str
) -> None:
    job = at("/load")
    before = job.events()
    answer = job.send({**job.form("confirm"), **change})
    assert answer.status_code == status
    page = Page(answer.text)
    assert says in page.text
    assert page.one("article", class_="step")["data-step"] == "vehicle-ready/load"
    assert job.events() == before


def test_a_tap_on_a_job_that_is_none_or_not_started_is_told_so(client: FlaskClient) -> None:
    assert client.post("/jobs/nothing", data={"do": "confirm"}).status_code == 404
    planned = client.post("/jobs/new", data={"vin": "0RVWA4G2XK1000417"}).headers["Location"].split("/")[2]
    answer = client.post(f"/jobs/{planned}", data={"do": "confirm"})
    assert answer.status_code == 409
    assert "has not been started; open its plan and start it" in Page(answer.text).text


def test_nothing_is_added_to_a_job_that_has_ended(at: Begin) -> None:
    job = at("/load")
    form = job.form("confirm")
    assert job.send({"do": "abandon", "reason": "The customer took the car away."}).status_code == 303
    before = job.events()
    for sent in (form, {"do": "note", "text": "Late."}, {"do": "pause", "reason": "parts"}, {**form, "do": "undo"}):
        answer = job.send(sent)
        assert answer.status_code == 409
        assert "This job was abandoned." in Page(answer.text).text
    assert job.events() == before


def test_two_phones_at_one_job_meet_at_the_same_step(at: Begin) -> None:
    job = at("/load")
    other = job.client.application.test_client()
    seen = Page(other.get(job.url).text).form().fields
    job.tap("confirm")
    answer = other.post(job.url, data=seen)
    assert answer.status_code == 303  # the same tap: the step is done, and that is what was wanted
    assert sum(event.kind == "confirmed" and event.step == seen["step"] for event in job.events()) == 1
