"""The Today page: the day's equipment check, the open jobs, and the way to a new one."""

import time
from collections.abc import Iterator
from datetime import timedelta

import pytest
from flask.testing import FlaskClient
from sqlalchemy.engine import Engine

from tests.cast import ADA, ILYA, NOOR, label_of, scan_badge, thing
from webapp.config import Settings
from webapp.core.labels import Label, label_text
from webapp.core.procedure import Library
from webapp.storage import people
from webapp.storage.engine import session, writing
from webapp.storage.jobs import create_job, day_check_before, jobs_in, last_day_check
from webapp.web import moment

from .job import begin
from .markup import Page


def today(client: FlaskClient) -> Page:
    answer = client.get("/")
    assert answer.status_code == 200
    return Page(answer.text)


def test_a_shop_that_has_just_begun_is_told_what_comes_first(client: FlaskClient) -> None:
    page = today(client)
    assert "The day's equipment check is due" in page.text
    assert "No job is open. Scan a VIN to begin one." in page.text
    assert [one["href"] for one in page.all("a", class_="button main")] == ["/jobs/new"]


def test_the_equipment_check_is_due_then_under_way_then_valid(
    client: FlaskClient, demo_engine: Engine, library: Library, shop: Settings
) -> None:
    scan_badge(client, NOOR)
    assert "Begin the check" in today(client).text
    check = begin(client, demo_engine, library, shop.photos, "/batteries", sort="day")
    assert "equipment check is under way" in today(client).text
    assert client.post("/equipment-check").headers["Location"] == check.url  # goes on with the same
    check.tap("confirm")
    check.tap("leave-undone", reason="The phone's camera is broken.")
    assert "equipment check is under way" in today(client).text
    assert check.send({"do": "finish", "badge": ADA.label, "pin": ADA.pin}).status_code == 303
    page = today(client)
    assert f"Equipment checked today at {moment.local(check.state.ended_at or ''):%H:%M}" in page.text
    assert page.one("a", href=f"{check.url}/record").text == "See the check"
    assert page.all("form", action="/equipment-check") == []


def test_a_check_begun_on_the_page_starts_with_the_scanner(client: FlaskClient) -> None:
    scan_badge(client, NOOR)
    page = Page(client.post("/equipment-check", follow_redirects=True).text)
    assert page.one("article", class_="step")["data-step"] == "equipment-check/scanner"
    assert page.one("article", class_="step")["data-kind"] == "scan"


@pytest.mark.parametrize("days_ago", [1, 3])
def test_a_check_of_another_day_is_due_again(
    client: FlaskClient, demo_engine: Engine, library: Library, shop: Settings, days_ago: int
) -> None:
    begin(client, demo_engine, library, shop.photos, sort="day", ago=timedelta(days=days_ago))
    page = today(client)
    assert "The day's equipment check is due" in page.text
    assert "Begin the check" in page.text


def test_a_check_that_was_begun_yesterday_and_left_does_not_count_for_today(
    client: FlaskClient, demo_engine: Engine, library: Library, shop: Settings
) -> None:
    scan_badge(client, NOOR)
    old = begin(client, demo_engine, library, shop.photos, "/rack-photo", sort="day", ago=timedelta(days=1))
    assert "The day's equipment check is due" in today(client).text
    location = client.post("/equipment-check").headers["Location"]
    assert location != old.url
    assert (old.state.phase, old.state.end_reason) == ("abandoned", "Overtaken by the check of another day.")
    with session(demo_engine) as db:
        assert [job.id for job in jobs_in(db, "open", sort="day")] == [location.removeprefix("/jobs/")]


def test_a_second_begin_on_a_valid_day_leads_to_its_record(
    client: FlaskClient, demo_engine: Engine, library: Library, shop: Settings
) -> None:
    check = begin(client, demo_engine, library, shop.photos, sort="day")
    assert client.post("/equipment-check").headers["Location"] == f"{check.url}/record"
    with session(demo_engine) as db:
        assert jobs_in(db, "open", sort="day") == []


def test_a_check_without_a_badge_can_be_begun_and_is_nobodys(client: FlaskClient, demo_engine: Engine) -> None:
    client.post("/equipment-check")
    with session(demo_engine) as db:
        check = last_day_check(db)
    assert check is not None
    assert (check.phase, check.made_by) == ("open", None)


def test_an_open_job_shows_where_it_stands_and_that_it_is_paused(
    client: FlaskClient, demo_engine: Engine, library: Library, shop: Settings
) -> None:
    scan_badge(client, ILYA)
    job = begin(client, demo_engine, library, shop.photos, "/chock")
    row = today(client).one("a", href=job.url).text
    settled = sum(one.status == "done" for one in job.state.steps.values())
    assert "RO 20417" in row
    assert "Orvane Wagon" in row
    assert "Reference axis" in row
    assert f"{settled} of " in row
    job.tap("pause", reason="parts")
    assert "Paused" in today(client).one("a", href=job.url).text


def test_a_job_that_is_being_planned_stands_apart_and_leads_to_its_plan(client: FlaskClient) -> None:
    job = client.post("/jobs/new", data={"vin": "0RVWA4G2XK1000417"}).headers["Location"].split("/")[2]
    page = today(client)
    assert "Being planned" in page.text
    row = page.one("a", href=f"/jobs/{job}/plan").text
    assert "no repair order yet" in row
    assert "Orvane Wagon" in row
    assert "0RVWA4G2XK1000417" in row


def test_finished_and_abandoned_jobs_lead_to_their_records(
    client: FlaskClient, demo_engine: Engine, library: Library, shop: Settings
) -> None:
    finished = begin(client, demo_engine, library, shop.photos)
    left = begin(client, demo_engine, library, shop.photos, "/chock")
    left.send({"do": "abandon", "reason": "The customer took the car away."})
    page = today(client)
    day = moment.today()
    assert "No job is open" in page.text
    assert f"abandoned {day}" in page.one("a", href=f"{left.url}/record").text
    assert f"finished {day}" in page.one("a", href=f"{finished.url}/record").text


def test_a_badge_names_the_person_on_every_page_until_it_is_given_back(client: FlaskClient) -> None:
    assert "no badge scanned" in today(client).text
    scan_badge(client, NOOR)
    assert NOOR.name in today(client).text
    assert client.post("/badge", data={"leave": "1"}).status_code == 303
    assert "no badge scanned" in today(client).text


@pytest.mark.parametrize(
    ("text", "status", "says"),
    [
        ("", 400, "badge is empty"),
        (label_text(Label("badge", "NOBODY")), 404, "badge='NOBODY' is nobody's badge here"),
        ("BAY.P.DK4KV7.0", 400, "has the check character 0, which does not fit"),
        ("https://example.org/badge/7", 400, "must be a label of this shop"),
        ("x" * 3000, 400, "(3000 characters)"),
    ],
)
def test_what_is_no_badge_is_refused_by_name_and_stays_in_the_field(
    client: FlaskClient, text: str, status: int, says: str
) -> None:
    answer = client.post("/badge", data={"badge": text})
    assert answer.status_code == status
    page = Page(answer.text)
    assert says in page.one("div", role="alert").text
    assert page.value("badge") == [text[:200]]
    assert "no badge scanned" in page.text


def test_a_targets_label_is_no_badge(client: FlaskClient, demo_engine: Engine) -> None:
    with session(demo_engine) as db:
        label = label_of(thing(db, "radar-plate"))
    answer = client.post("/badge", data={"badge": label})
    assert answer.status_code == 400
    assert "is a target's label; scan your own badge" in Page(answer.text).text


def test_a_badge_that_was_taken_away_ends_at_once(client: FlaskClient, demo_engine: Engine) -> None:
    scan_badge(client, NOOR)
    with writing(demo_engine) as db:
        people.change_person(db, NOOR.badge, name=NOOR.name, role=NOOR.role, active=False)
    assert "no badge scanned" in today(client).text
    answer = client.post("/badge", data={"badge": NOOR.label})
    assert "no longer works here" in Page(answer.text).text


@pytest.fixture
def far_east(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """The shop's clock is twelve hours ahead of UTC, as it would be in New Zealand in winter."""
    monkeypatch.setenv("TZ", "FAR-12")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


def test_a_shops_day_is_its_own_and_not_that_of_greenwich(far_east: None) -> None:
    morning = "2026-03-01T20:15:00.000Z"
    assert moment.day_of(morning) == "2026-03-02"
    assert f"{moment.local(morning):%H:%M}" == "08:15"
    assert moment.day_began(morning) == "2026-03-01T12:00:00.000Z"


def test_the_check_of_that_morning_counts_for_a_job_after_midnight_in_greenwich(
    far_east: None, demo_engine: Engine
) -> None:
    morning, noon = "2026-03-01T20:15:00.000Z", "2026-03-02T00:30:00.000Z"
    with writing(demo_engine) as db:
        create_job(db, "D-1", "day", morning, phase="finished", started_at=morning, finished_at=morning)
        found = day_check_before(db, noon, since=moment.day_began(noon))
        assert found is not None
        assert found.id == "D-1"
        assert day_check_before(db, morning, since=noon) is None
