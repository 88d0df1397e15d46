"""What there is beside the step at hand: undo, pause, note, trouble, leaving undone, and the end."""

import pytest

from tests.cast import ADA, NOOR
from webapp.core.state import PAUSES

from .job import Begin
from .markup import Page


def test_undo_asks_why_opens_the_step_again_and_keeps_its_time(at: Begin) -> None:
    job = at("/tyre-pressures")
    name = "vehicle-ready/load"
    form = job.page(f"/steps/{name}").form(do="undo").fields
    worked = job.state.step(name).worked_s
    answer = job.send({**form, "reason": ""})
    assert answer.status_code == 400
    assert "reason is empty; say why it is undone" in Page(answer.text).alert
    assert job.send({**form, "reason": "The boot was not empty."}).status_code == 303
    step = job.state.step(name)
    assert (step.status, step.undone, step.attempt) == ("open", 1, 2)
    assert step.worked_s == worked > 0
    assert "done anew" in job.page().text
    assert job.step["id"] == name


def test_an_undo_whose_reason_is_too_long_keeps_what_was_typed(at: Begin) -> None:
    job = at("/tyre-pressures")
    form = job.page("/steps/vehicle-ready/load").form(do="undo").fields
    answer = job.send({**form, "reason": "long " * 500})
    assert answer.status_code == 400
    assert Page(answer.text).form(do="undo").fields["reason"] == "long " * 500


def test_undoing_what_was_not_done_is_refused(at: Begin) -> None:
    job = at("/load")
    sent = {"do": "undo", "step": "hand-over/explain", "attempt": "1", "reason": "Eager."}
    answer = job.send(sent)
    assert answer.status_code == 400
    assert "has not been done yet; there is nothing to undo" in Page(answer.text).alert


@pytest.mark.parametrize("reason", PAUSES)
def test_a_pause_has_a_reason_and_stops_the_work_until_it_ends(at: Begin, reason: str) -> None:
    job = at("/load")
    assert f'value="{reason}"' in job.client.get(f"{job.url}/pause").text
    form = job.form("confirm")
    assert job.send({"do": "pause", "reason": reason}).status_code == 303
    page = job.page()
    assert "Paused" in page.text
    assert page.form().fields == {"do": "resume"}
    assert job.send(form).status_code == 409
    assert job.send({"do": "resume"}).status_code == 303
    assert reason in job.state.pauses_s or job.state.pauses_s == {}
    job.tap("confirm")


def test_a_pause_without_a_known_reason_is_refused(at: Begin) -> None:
    answer = at("/load").send({"do": "pause", "reason": "lunch"})
    assert answer.status_code == 400
    page = Page(answer.text)
    assert "reason='lunch' is not a reason to pause; choose one of parts, customer" in page.alert
    assert [one["value"] for one in page.all("button", name="reason")] == list(PAUSES)


def test_a_note_goes_on_the_record_with_its_writer(at: Begin) -> None:
    job = at("/load")
    assert job.send({"do": "note", "text": "Stone chip low on the left, <i>old</i>."}).status_code == 303
    note = job.state.notes[0]
    assert (note["text"], note["person"], note["step"]) == (
        "Stone chip low on the left, <i>old</i>.",
        NOOR.badge,
        "vehicle-ready/load",
    )
    page = job.page("/more")
    assert "Stone chip low on the left, <i>old</i>." in page.text
    assert page.all("i") == []


@pytest.mark.parametrize(
    ("do", "field", "what"),
    [("note", "text", "what to note"), ("abandon", "reason", "why the job is abandoned")],
)
def test_an_empty_text_is_refused_and_a_long_one_is_not_lost(at: Begin, do: str, field: str, what: str) -> None:
    job = at("/load")
    answer = job.send({"do": do, field: "  "})
    assert answer.status_code == 400
    assert f"{field} is empty; say {what}" in Page(answer.text).alert
    answer = job.send({"do": do, field: "long " * 500})
    assert answer.status_code == 400
    page = Page(answer.text)
    assert f"{field} has" in page.alert
    assert page.form(do=do).fields[field] == "long " * 500
    assert job.state.phase == "open"


def test_something_wrong_that_nobody_foresaw_is_kept_in_words(at: Begin) -> None:
    job = at("/load")
    assert job.page("/trouble").form(do="trouble").fields["step"] == "vehicle-ready/load"
    job.tap("trouble", text="The tailgate does not shut.")
    assert job.state.troubles[0]["cause"] == "The tailgate does not shut."
    assert job.step["id"] == "vehicle-ready/load"
    assert "text is empty; say what is wrong" in job.refused("trouble", text="").alert
    assert "cause='99' is none of this step's causes" in job.refused("trouble", cause="99").alert
    page = job.refused("trouble", text="long " * 500)
    assert page.form(do="trouble").fields["text"] == "long " * 500


def test_a_step_that_cannot_be_done_is_left_with_its_reason_and_the_work_goes_on(at: Begin) -> None:
    job = at("/load")
    assert "reason is empty; say why this step cannot be done" in job.refused("leave-undone", reason="").alert
    job.tap("leave-undone", reason="The boot is full of tiles.")
    step = job.state.step("vehicle-ready/load")
    assert (step.status, step.reason) == ("left-undone", "The boot is full of tiles.")
    assert "left undone" in job.page("/steps/vehicle-ready/load").text
    assert "The boot is full of tiles." in job.page("/steps/vehicle-ready/load").text


def test_a_job_with_nothing_open_is_finished_by_whoever_did_it(at: Begin) -> None:
    job = at("/release")
    before = job.events()
    assert job.send({"do": "finish"}).status_code == 409
    assert job.events() == before
    job.tap("countersign", badge=ADA.label, pin=ADA.pin)
    page = job.page()
    assert "Nothing is left open" in page.text
    assert page.all("input", name="pin") == []
    assert job.send(page.form().fields).status_code == 303
    assert job.state.phase == "finished"
    ended = job.page()
    assert ended.one("a", class_="button main")["href"] == f"{job.url}/record"
    assert job.send({"do": "finish"}).status_code == 303  # the second tap of a double tap
    assert sum(event.kind == "finished" for event in job.events()) == 1


def test_what_is_left_open_is_listed_and_needs_a_supervisor(at: Begin) -> None:
    job = at("/lamps-photo")
    job.tap("leave-undone", reason="The camera is fogged.")
    job.tap("confirm")
    job.tap("countersign", badge=ADA.label, pin=ADA.pin)
    page = job.page()
    assert "Left open" in page.text
    assert "left undone: The camera is fogged." in page.text
    form = page.form().fields
    assert form.keys() == {"do", "badge", "pin"}
    for witness, status in (({}, 403), ({"badge": ADA.label, "pin": "0000"}, 403), ({"badge": NOOR.label}, 403)):
        answer = job.send({"do": "finish", **witness})
        assert answer.status_code == status
        assert "Left open" in Page(answer.text).text
        assert job.state.phase == "open"
    assert job.send({"do": "finish", "badge": ADA.label, "pin": ADA.pin}).status_code == 303
    assert job.state.phase == "finished"
    last = job.events()[-1]
    assert last.data == {"open": ["hand-over/lamps-photo"], "by": ADA.badge}


def test_an_abandoned_job_says_why_and_warns(at: Begin) -> None:
    job = at("/load")
    assert "Assistance functions may act unexpectedly" in job.page("/more").text
    assert job.send({"do": "abandon", "reason": "Glass was delivered broken."}).status_code == 303
    page = job.page()
    assert "This job was abandoned." in page.text
    assert "Glass was delivered broken." in page.text
    assert job.state.phase == "abandoned"
