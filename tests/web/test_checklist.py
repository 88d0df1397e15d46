"""The checklist: one step a page, and what each shows; confirm, choose, wait and result."""

import re

import pytest

from tests.cast import NOOR

from .job import Begin
from .markup import Page

KINDS = {
    "/load": "confirm",
    "/walk-round": "choose",
    "/hang-boards": "scan",
    "/tyre-pressures": "measure",
    "/bay-photo": "photo",
    "floor-survey/settle": "wait",
    "/release": "countersign",
    "forward-camera-static/run": "result",
}


@pytest.mark.parametrize(("until", "kind"), KINDS.items())
def test_a_step_is_one_page_with_one_sentence_one_action_and_its_reason(at: Begin, until: str, kind: str) -> None:
    job = at(until)
    page, step = job.page(), job.step
    shown = page.one("article", class_="step")
    assert (shown["data-step"], shown["data-kind"]) == (step["id"], kind)
    assert page.one("div", data_job="")["data-job"] == job.id
    assert page.one("h2", class_="do").text == step["do"]
    assert len([form for form in page.forms() if form.is_main]) == 1
    assert len([one for one in page.all("button") if one["class"].split()[0] == "main"]) <= max(
        1, len(step.get("options", []))
    )
    place = [one["id"] for one in job.sheet["steps"]].index(step["id"])
    count = re.search(r"Step (\d+) of (\d+)", page.text)
    assert count is not None
    assert 1 <= int(count[1]) <= place + 1
    assert int(count[1]) <= int(count[2]) <= len(job.sheet["steps"])
    assert step["why"] in page.text
    assert all(mistake in page.text for mistake in step["mistakes"])
    for caution in step["cautions"]:
        assert f"{caution['signal']} {caution['hazard']} {caution['do']}" in page.text
    assert page.one("span", class_="elapsed").has("data-elapsed-s")


def test_a_step_names_its_section_and_for_how_many_calibrations_it_is(at: Begin) -> None:
    assert "Floor survey · for both calibrations" in at("floor-survey/settle").page().text


def test_where_something_is_placed_a_drawing_shows_it_with_its_dimensions_and_says_it_in_words(at: Begin) -> None:
    job = at("forward-camera-static/stand-in")
    svg = job.page().one("svg", role="img")
    assert svg["aria-label"] == job.step["drawing"]["alt"]
    assert re.search(r"\d mm", svg["aria-label"])


def test_htmx_gets_the_jobs_content_alone_and_a_browser_the_whole_page(at: Begin) -> None:
    job = at("/load")
    part = job.client.get(job.url, headers={"HX-Request": "true"}).text
    assert part.lstrip().startswith('<div id="job"')
    assert "<html" not in part
    assert "<html" in job.client.get(job.url).text
    answer = job.send(job.form("confirm"), HX_Request="true")
    assert answer.status_code == 200
    assert Page(answer.text).one("article", class_="step")["data-step"] == job.state.current


def test_the_list_of_steps_marks_what_is_done_and_where_one_stands(at: Begin) -> None:
    job = at("/chock")
    page = job.page("/steps")
    assert page.one("li", class_="here").text.startswith("◆")
    done = [one for one in page.all("a") if one["href"].startswith(f"{job.url}/steps/") and "●" in one.text]
    assert len(done) == sum(one.status == "done" for one in job.state.steps.values())


def test_a_step_seen_again_says_what_was_said(at: Begin) -> None:
    job = at("/tyre-pressures")
    assert "Answer:" in job.page("/steps/vehicle-ready/walk-round").text
    assert "Why is it undone?" in job.page("/steps/vehicle-ready/walk-round").text
    assert "Why is it undone?" not in job.page("/steps/hand-over/release").text


def test_back_leads_to_the_step_before(at: Begin) -> None:
    job = at("/load")
    back = next(one for one in job.page().all("a") if one.text == "Back")
    assert back["href"] == f"{job.url}/steps/vehicle-ready/codes-before"
    assert job.client.get(back["href"]).status_code == 200


def test_a_confirmed_step_is_kept_with_who_did_it(at: Begin) -> None:
    job = at("/load")
    job.tap("confirm")
    done = job.state.step("vehicle-ready/load")
    assert (done.status, done.done_by) == ("done", NOOR.badge)
    assert job.events()[-1].kind == "confirmed"


def test_an_answer_decides_which_steps_follow(at: Begin) -> None:
    job = at("/drive-system")
    job.tap("choose", option="high-voltage")
    assert job.step["id"] == "vehicle-ready/high-voltage"
    other = at("/drive-system")
    low = next(one["value"] for one in other.step["options"] if one["value"] != "high-voltage")
    other.tap("choose", option=low)
    assert other.step["id"] == "vehicle-ready/codes-before"
    assert other.client.get(f"{other.url}/steps/vehicle-ready/high-voltage").status_code == 404


def test_an_answer_that_forbids_going_on_says_what_is_to_be_put_right(at: Begin) -> None:
    job = at("/walk-round")
    blocking = next(one for one in job.step["options"] if one["blocks"])
    job.tap("choose", option=blocking["value"])
    assert job.step["id"] == "vehicle-ready/walk-round"
    assert blocking["blocks"] in job.page().text


def test_an_answer_that_is_none_is_refused(at: Begin) -> None:
    page = at("/walk-round").refused("choose", option="perhaps")
    assert "option='perhaps' is not an answer here; choose one of" in page.alert


def test_a_wait_counts_down_from_its_start_and_cannot_be_cut_short(at: Begin) -> None:
    job = at("floor-survey/settle")
    assert "Start the 0:30 wait" in job.page().text
    job.tap("start-wait")
    assert "s are left" in job.refused("wait").alert
    left = int(job.page().one("p", class_="countdown")["data-left-s"])
    assert 0 < left <= 30


def test_a_countdown_survives_a_reload_and_another_phone(at: Begin) -> None:
    job = at("floor-survey/settle")
    job.happened("wait-started", ago_s=12)
    lefts = [int(job.page().one("p", class_="countdown")["data-left-s"]) for _ in range(2)]
    assert lefts[1] <= lefts[0] <= 18
    assert "the countdown is running already" in job.refused("start-wait").alert


def test_a_wait_that_is_over_can_be_ended(at: Begin) -> None:
    job = at("floor-survey/settle")
    job.happened("wait-started", ago_s=31)
    page = job.page()
    assert page.one("p", class_="countdown").text == "0:00"
    assert not page.one("button", class_="main").has("data-when-over")
    job.tap("wait")
    assert job.step["id"] == "floor-survey/survey"


def test_what_the_scan_tool_says_is_kept_word_for_word(at: Begin) -> None:
    job = at("forward-camera-static/run")
    job.tap("result", outcome="failed", code="C1-77", text="Aim not found <b>")
    page = job.page()
    assert "The scan tool says: failed" in page.text
    assert "C1-77" in page.text
    assert "Aim not found <b>" in page.text
    assert not any("Aim" in one.text for one in page.all("b"))
    assert job.step["id"] == "forward-camera-static/run"
    assert len([form for form in page.forms() if form.fields.get("do") == "trouble"]) == len(job.step["causes"])


def test_a_failed_run_needs_its_text_and_a_run_that_was_none_its_reason(at: Begin) -> None:
    job = at("forward-camera-static/run")
    page = job.refused("result", outcome="failed", code="C1-77", text="")
    assert "text is empty; say what the scan tool says" in page.alert
    assert page.one("input", name="code")["value"] == "C1-77"
    assert next(one for one in reversed(page.one("input", name="code").inside) if one.tag == "details").has("open")
    assert "reason is empty; say why the calibration was not run" in job.refused("result", outcome="not-run").alert
    assert "outcome='great' is not known" in job.refused("result", outcome="great").alert


def test_a_cause_leads_back_to_the_step_where_it_is_put_right(at: Begin) -> None:
    job = at("forward-camera-static/run")
    job.tap("result", outcome="failed", text="Aim not found")
    number, cause = next((n, one) for n, one in enumerate(job.step["causes"]) if one["redo"])
    page = job.page("/trouble")
    assert f"Go back to: {cause['back_to']}" in page.text
    was = job.state.step(cause["redo"]).attempt
    job.tap("trouble", cause=str(number))
    assert job.step["id"] == cause["redo"]
    assert job.state.step(cause["redo"]).attempt == was + 1
    assert job.state.troubles[-1]["cause"] == cause["cause"]
