"""The record of a job: everything that was done, by whom, with what, how surely, and what was not."""

import json
import re
from dataclasses import asdict
from datetime import UTC, datetime, timedelta

import pytest
from click.testing import CliRunner
from flask.testing import FlaskClient
from sqlalchemy.engine import Engine

from tests.cast import ADA, ILYA, NOOR, scan_badge
from webapp.cli import main
from webapp.config import Settings
from webapp.core.procedure import Library
from webapp.core.replay import replay_lines
from webapp.core.sheet import content_hash
from webapp.storage.engine import session
from webapp.storage.progress import progress_of
from webapp.storage.rehearsal.mishaps import Mishaps

from .job import AtJob, Begin, begin
from .markup import Page

CAMERA, RADAR = "forward-camera-static", "forward-radar-static"
MISHAPS = Mishaps(
    fails=CAMERA,
    not_run=RADAR,
    undone="vehicle-ready/load",
    wrong_label=True,
    pauses={"bay-ready/sweep": ("parts", 600.0)},
)


@pytest.fixture
def eventful(at: Begin) -> AtJob:
    """An apprentice's job on which most things went wrong once; its last steps are done here, on the pages."""
    job = at("/lamps-photo", ILYA, mishaps=MISHAPS)
    assert job.send({"do": "note", "text": "Stone chip low on the left."}).status_code == 303
    job.tap("trouble", text="The tailgate does not shut.")
    job.tap("leave-undone", reason="The camera is fogged.")
    job.tap("confirm")
    job.tap("countersign", badge=ADA.label, pin=ADA.pin)
    assert job.send({"do": "finish", "badge": ADA.label, "pin": ADA.pin}).status_code == 303
    return job


def table(page: Page, heading: str) -> str:
    """The text of the section with that heading."""
    found = next(one for one in page.all("h2") if one.text == heading)
    return " ".join(found.inside[-1].text.split())


def test_the_record_says_which_vehicle_why_it_came_and_who_worked_on_it(eventful: AtJob) -> None:
    text = eventful.page("/record").text
    for told in (
        "Record RO 20417",
        "Orvane Wagon",
        "0RV WA4G2X K100 0417",
        "48210",
        "Windscreen replaced, Radar removed or replaced",
        "Ilya Sorensen",
    ):
        assert told in text
    assert "This job is not finished" not in text


def test_the_record_names_the_equipment_check_of_the_day(
    eventful: AtJob, client: FlaskClient, demo_engine: Engine, library: Library, shop: Settings
) -> None:
    assert "none was finished that day before this job" in eventful.page("/record").text
    since_start = datetime.now(UTC) - datetime.fromisoformat(eventful.state.started_at or "")
    begin(client, demo_engine, library, shop.photos, sort="day", ago=since_start + timedelta(minutes=1))
    page = eventful.page("/record")
    check = next(one["href"] for one in page.all("a") if one["href"].endswith("/record"))
    assert "Equipment check" in Page(client.get(check).text).one("h1").text


def test_each_calibration_has_the_scan_tools_outcome_its_runs_and_its_figures(
    eventful: AtJob, library: Library
) -> None:
    told = table(eventful.page("/record"), "Calibrations")
    camera = library.vehicles["orvane-wagon"].specs[CAMERA]
    assert library.procedures[CAMERA].title in told
    assert "● scan tool: done" in told
    assert "2 runs, one failed" in told
    assert "◐ not run The control unit did not answer" in told
    assert f"{camera.source}, spec revision {camera.revision}, procedure revision" in told
    assert "The outcome is the scan tool's own" in told
    assert "declares no sensor calibrated" in told


def test_what_was_not_done_stands_with_its_reason_and_the_caution(eventful: AtJob) -> None:
    told = table(eventful.page("/record"), "Not done")
    assert "left undone" in told
    assert "The camera is fogged." in told
    assert "not run" in told
    assert "Assistance functions may act unexpectedly" in told


def test_every_scan_is_listed_right_or_wrong(eventful: AtJob) -> None:
    told = table(eventful.page("/record"), "Targets and scans")
    texts = [event.data["text"] for event in eventful.events() if event.kind == "scanned"]
    assert len(texts) > 10
    assert all(told.count(text) == texts.count(text) for text in texts)
    verdicts = [event.data["verdict"] for event in eventful.events() if event.kind == "scanned"]
    assert told.count("● Match") == verdicts.count("match")
    assert told.count("⊗ Right target, wrong spot") == verdicts.count("right-target-wrong-spot") > 0
    assert "Camera board, left → Stand, left arm" in told


def test_every_reading_stands_with_its_uncertainty_its_limits_and_the_rule(eventful: AtJob) -> None:
    told = table(eventful.page("/record"), "Readings")
    parts = [part for event in eventful.events() if event.kind == "measured" for part in event.data["result"]["parts"]]
    overruled = sum(event.kind == "overruled" for event in eventful.events())
    assert len(re.findall(r"± \d", told)) == len(parts) > 20
    assert told.count("Let stand by") == overruled
    assert "inside only if the reading lies within the limits by its expanded uncertainty U (k = 2)" in told
    decided = sum(part["low"] is not None or part["high"] is not None for part in parts)
    assert told.count("guard band w = U, k = 2; JCGM 106:2012, ISO 14253-1:2017") == decided > 20
    assert "● inside" in told


def test_photos_countersigns_undone_steps_troubles_and_notes_are_all_there(eventful: AtJob) -> None:
    page = eventful.page("/record")
    photos = [event.data["sha256"] for event in eventful.events() if event.kind == "photographed"]
    assert [one["src"] for one in page.all("img")] == [f"/photos/{name}.jpg" for name in photos]
    assert all(one["alt"] for one in page.all("img"))
    signed = table(page, "Countersigned")
    assert signed.count(ADA.name) == sum("by" in event.data for event in eventful.events()) > 3
    way = table(page, "On the way")
    for told in ("Ticked too early; done again.", "The tailgate does not shut.", "Stone chip low on the left."):
        assert told in way


def test_the_times_add_up_with_pauses_and_waits_named(eventful: AtJob) -> None:
    told = table(eventful.page("/record"), "Times")
    assert "At the steps " in told
    assert "waiting for a countersign " in told
    assert "Waiting for parts 10:00" in told
    assert "Between the last step and the end" in told
    assert "undone once" in told
    assert "some times are estimated" in told  # rehearsed by day, finished on another clock
    done = [step for step in eventful.sheet["steps"] if eventful.state.step(step["id"]).status == "done"]
    assert all(step["do"] in told for step in done)


def test_the_record_names_the_sheet_it_was_worked_by(eventful: AtJob) -> None:
    assert f"Sheet (SHA-256): {content_hash(eventful.sheet)}" in eventful.page("/record").text


def test_the_journal_file_replays_to_the_very_state_that_the_pages_show(
    eventful: AtJob, client: FlaskClient, demo_engine: Engine
) -> None:
    answer = client.get(f"{eventful.url}/journal.jsonl")
    assert answer.mimetype == "application/jsonl"
    assert f'filename="job-{eventful.id}.jsonl"' in answer.headers["Content-Disposition"]
    with session(demo_engine) as db:
        shown = progress_of(db, eventful.id).state
    assert replay_lines(answer.text.splitlines()) == asdict(shown)
    ran = CliRunner().invoke(main, ["replay", "-"], input=answer.text)
    assert ran.exit_code == 0
    assert json.loads(ran.stdout) == json.loads(json.dumps(asdict(shown)))


@pytest.mark.parametrize("until", ["/load", "/chock", "/hang-boards", "/square", "/run"])
def test_a_journal_in_mid_job_replays_as_well(at: Begin, until: str) -> None:
    job = at(until, ILYA, mishaps=MISHAPS)
    lines = job.client.get(f"{job.url}/journal.jsonl").text.splitlines()
    assert replay_lines(lines) == asdict(job.state)
    assert job.page().one("article", class_="step")["data-step"] == replay_lines(lines)["current"]


def test_the_record_of_a_job_that_runs_says_so(at: Begin) -> None:
    job = at("/chock")
    page = job.page("/record")
    assert "This job is not finished." in page.text
    assert "none was finished that day" in page.text
    assert page.one("a", href=job.url).text == "To the step at hand"


def test_the_record_of_an_abandoned_job_says_why_and_keeps_what_was_done(at: Begin) -> None:
    job = at("/hang-boards")
    job.send({"do": "abandon", "reason": "Glass was delivered broken."})
    text = job.page("/record").text
    assert "This job was abandoned. Glass was delivered broken." in text
    assert "never run" in text
    assert "0RV WA4G2X K100 0417" in text


def test_what_people_typed_is_text_on_the_record_and_nothing_else(at: Begin) -> None:
    job = at("/hang-boards")
    evil = "<script>alert(1)</script><img src=x onerror=alert(1)>"
    job.send({"do": "note", "text": evil})
    job.tap("scan", text=evil)
    job.tap("trouble", text=evil)
    job.send({"do": "abandon", "reason": evil})
    for path in ("/record", ""):
        page = job.page(path)
        assert all(one.has("src") for one in page.all("script"))
        assert not any(one.has("onerror") for one in page.all("img"))
        assert evil in page.text


def test_a_check_has_a_record_too(client: FlaskClient, demo_engine: Engine, library: Library, shop: Settings) -> None:
    scan_badge(client, NOOR)
    page = begin(client, demo_engine, library, shop.photos, sort="day").page("/record")
    assert page.one("h1").text.strip() == "Equipment check"
    assert "VIN" not in page.text
    assert NOOR.name in page.text


def test_a_job_that_was_not_started_has_no_record_and_no_journal(client: FlaskClient) -> None:
    job = client.post("/jobs/new", data={"vin": "0RVWA4G2XK1000417"}).headers["Location"].split("/")[2]
    assert client.get(f"/jobs/{job}/record").headers["Location"] == f"/jobs/{job}/plan"
    answer = client.get(f"/jobs/{job}/journal.jsonl")
    assert answer.status_code == 409
    assert "has not been started" in Page(answer.text).alert
