"""The plan: what is due and why, what a person changes in it, and the start that freezes it."""

import re
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy.engine import Engine
from sqlmodel import col, delete, select

from tests.cast import NOOR, scan_badge, thing
from webapp.config import Settings
from webapp.core.plan import expected_s, usual_answers
from webapp.core.procedure import Library
from webapp.core.sheet import content_hash
from webapp.storage import tables
from webapp.storage.engine import session, writing
from webapp.storage.jobs import job_of
from webapp.storage.tables import EventRow, Item, Job

from .job import AtJob, begin
from .markup import Page
from .test_intake import begun, filled
from .trouble import Trouble, full, locked

CAMERA, RADAR, SURROUND = "forward-camera-static", "forward-radar-static", "surround-view"


@pytest.fixture
def url(client: FlaskClient) -> str:
    """The plan of a job on the Orvane Wagon: windscreen and radar were replaced."""
    scan_badge(client, NOOR)
    answer = client.post(begun(client), data=filled())
    assert answer.status_code == 303, answer.text
    return answer.headers["Location"]


def plan(client: FlaskClient, url: str) -> Page:
    answer = client.get(url)
    assert answer.status_code == 200, answer.text
    return Page(answer.text)


def change(client: FlaskClient, url: str, do: str, calibration: str, reason: str = "") -> Page:
    answer = client.post(url, data={"do": do, "calibration": calibration, "reason": reason})
    assert answer.status_code == 303, answer.text
    return plan(client, url)


def start(client: FlaskClient, engine: Engine, url: str) -> AtJob:
    job = url.split("/")[2]
    assert client.post(f"/jobs/{job}/start").headers["Location"] == f"/jobs/{job}"
    return AtJob(client, engine, job)


def headings(page: Page) -> list[str]:
    return [one.text for one in page.all("h3")]


def edited(library: Library, name: str, **more: Any) -> Library:
    procedure = library.procedures[name].model_copy(update=more)
    return library.model_copy(update={"procedures": {**library.procedures, name: procedure}})


def test_each_calibration_that_is_due_says_why_and_where_its_figures_come_from(
    client: FlaskClient, url: str, library: Library
) -> None:
    page = plan(client, url)
    assert headings(page) == [library.procedures[name].title for name in (CAMERA, RADAR)]
    assert "Called for by: Windscreen replaced" in page.text
    assert "Called for by: Radar removed or replaced" in page.text
    spec = library.vehicles["orvane-wagon"].specs[CAMERA]
    assert f"Figures: {spec.source}, revision {spec.revision}. The vehicle maker's current instructions" in page.text


def test_what_is_added_and_struck_keeps_its_reason_on_the_plan_the_sheet_and_the_record(
    client: FlaskClient, demo_engine: Engine, url: str
) -> None:
    change(client, url, "strike", RADAR, "The radar was not touched.")
    page = change(client, url, "add", SURROUND, "The left mirror hangs loose.")
    assert "Struck: The radar was not touched." in page.text
    assert "Added: The left mirror hangs loose." in page.text
    job = start(client, demo_engine, url)
    assert [one["id"] for one in job.sheet["calibrations"]] == [CAMERA, SURROUND]
    assert job.sheet["calibrations"][1]["added"] == "The left mirror hangs loose."
    assert [(one["id"], one["why"]) for one in job.sheet["struck"]] == [(RADAR, "The radar was not touched.")]
    record = job.page("/record").text
    assert "The radar was not touched." in record
    assert "The left mirror hangs loose." in record


def test_what_was_struck_can_be_put_back(client: FlaskClient, url: str) -> None:
    change(client, url, "strike", RADAR, "The radar was not touched.")
    page = change(client, url, "restore", RADAR)
    assert "Struck" not in page.text
    assert len(headings(page)) == 2


def test_what_was_added_and_struck_again_is_gone(client: FlaskClient, url: str) -> None:
    change(client, url, "add", SURROUND, "The left mirror hangs loose.")
    page = change(client, url, "strike", SURROUND, "It was only dirty.")
    assert len(headings(page)) == 2
    assert "It was only dirty." not in page.text


@pytest.mark.parametrize(
    ("form", "says"),
    [
        (
            {"do": "strike", "calibration": RADAR, "reason": " "},
            "reason is empty; say why this calibration is not done",
        ),
        ({"do": "add", "calibration": SURROUND}, "reason is empty; say why this calibration is done as well"),
        ({"do": "add", "calibration": "moon-lamp", "reason": "Why not."}, "calibration='moon-lamp' has no spec"),
        ({"do": "dance", "calibration": RADAR}, "do='dance' is not an action here"),
        ({"do": "strike", "calibration": RADAR, "reason": "x" * 2001}, "reason has 2001 characters; at most 2000"),
    ],
)
def test_a_change_without_its_reason_is_refused_and_nothing_is_changed(
    client: FlaskClient, demo_engine: Engine, url: str, form: dict[str, str], says: str
) -> None:
    answer = client.post(url, data=form)
    assert answer.status_code == 400
    page = Page(answer.text)
    assert says in page.one("div", role="alert").text
    with session(demo_engine) as db:
        assert job_of(db, url.split("/")[2]).plan == {"added": {}, "struck": {}}


def test_a_reason_that_was_refused_is_still_in_its_field(client: FlaskClient, url: str) -> None:
    long = "Because " * 300
    page = Page(client.post(url, data={"do": "strike", "calibration": RADAR, "reason": long}).text)
    field = page.one("input", id=f"strike-{RADAR}")
    assert field["value"] == long
    assert next(one for one in reversed(field.inside) if one.tag == "details").has("open")
    page = Page(client.post(url, data={"do": "add", "calibration": SURROUND, "reason": long}).text)
    assert page.one("input", id="add-why")["value"] == long
    assert page.one("input", id=f"strike-{RADAR}")["value"] == ""


def test_the_kit_is_listed_with_the_condition_of_every_piece(
    client: FlaskClient, demo_engine: Engine, url: str
) -> None:
    page = plan(client, url)
    with session(demo_engine) as db:
        pieces = {
            thing(db, "camera-board-left").code: "● {} good",
            thing(db, "camera-board-left", spare=True).code: "⊗ {} damaged",
            thing(db, "camera-board-right", spare=True).code: "⊗ {} inspection overdue",
            thing(db, "radar-plate").code: "● {} good",
        }
    for code, says in pieces.items():
        assert page.one("a", href=f"/kit/{code}").text == says.format(code)


def test_a_target_that_the_shop_has_not_is_said_so_before_the_start(
    client: FlaskClient, demo_engine: Engine, url: str
) -> None:
    with writing(demo_engine) as db:
        db.exec(delete(Item).where(col(Item.is_) == "radar-plate"))
    assert "none in the shop" in plan(client, url).text


def test_the_clear_floor_and_the_order_are_named(client: FlaskClient, url: str, library: Library) -> None:
    text = plan(client, url).text
    area = library.procedures[CAMERA].area
    assert area is not None
    assert re.search(r"[\d.]+ m long and [\d.]+ m wide: [\d.]+ m ahead of the vehicle", text)
    titles = [
        library.procedures[name].title for name in ("vehicle-ready", "reference-axis", CAMERA, RADAR, "hand-over")
    ]
    table = text[text.index("Order and time") :]
    places = [table.index(title) for title in titles]
    assert places == sorted(places)


def test_with_fewer_than_five_jobs_the_time_comes_from_the_procedures(
    client: FlaskClient, demo_engine: Engine, library: Library, shop: Settings, url: str
) -> None:
    for _ in range(4):
        begin(client, demo_engine, library, shop.photos)
    page = plan(client, url)
    assert "own jobs" not in page.text
    row = next(row for row in page.all("tr") if row.text.startswith(library.procedures[CAMERA].title))
    known = usual_answers(library.procedures.values()) | {"driven-axles": "front", "wheel-size": "standard"}
    minutes = round(expected_s(library.procedures[CAMERA], known) / 60)
    assert "the procedure's own figure" in row.text
    assert f"{minutes} min" in row.text


def test_from_five_jobs_on_the_time_comes_from_the_shops_own(
    client: FlaskClient, demo_engine: Engine, library: Library, shop: Settings, url: str
) -> None:
    for number in range(5):
        begin(client, demo_engine, library, shop.photos, seed=number)
    page = plan(client, url)
    with session(demo_engine) as db:
        own = select(tables.JobTime.own_s, tables.JobTime.estimated).where(col(tables.JobTime.calibration) == CAMERA)
        times = sorted(seconds for seconds, estimated in db.exec(own) if not estimated)
    assert len(times) == 5
    row = next(row for row in page.all("tr") if row.text.startswith(library.procedures[CAMERA].title))
    assert "from 5 own jobs" in row.text
    assert f"{round(times[2] / 60)} min" in row.text
    shared = next(row for row in page.all("tr") if row.text.startswith(library.procedures["floor-survey"].title))
    assert "from 5 own jobs" in shared.text


def test_the_start_freezes_the_sheet_and_writes_the_first_event(
    client: FlaskClient, demo_engine: Engine, url: str
) -> None:
    job = start(client, demo_engine, url)
    with session(demo_engine) as db:
        kept = job_of(db, job.id)
    assert (kept.phase, kept.sheet) == ("open", content_hash(job.sheet))
    assert job.sheet["job"]["repair_order"] == "RO 20417"
    assert job.sheet["job"]["qualifiers"] == {"driven-axles": "front", "wheel-size": "standard"}
    (first,) = job.events()
    assert (first.kind, first.data, first.person) == ("started", {"sheet": kept.sheet}, NOOR.badge)


def test_a_second_tap_on_start_changes_nothing(client: FlaskClient, demo_engine: Engine, url: str) -> None:
    job = start(client, demo_engine, url)
    before = (job.sheet, job.events())
    start(client, demo_engine, url)
    assert (job.sheet, job.events()) == before


def test_a_later_edit_of_a_procedure_never_reaches_a_job_that_runs(
    client: FlaskClient, app: Flask, demo_engine: Engine, library: Library, url: str
) -> None:
    job = start(client, demo_engine, url)
    name, before, shown = job.step["id"], content_hash(job.sheet), job.page().one("h2", class_="do").text
    procedure = library.procedures[name.split("/")[0]]
    steps = [procedure.steps[0].model_copy(update={"do": "Sing a song."}), *procedure.steps[1:]]
    app.extensions["library"] = edited(library, procedure.procedure, steps=steps, revision=2)
    try:
        assert job.page().one("h2", class_="do").text == shown
        assert content_hash(job.sheet) == before
        other = start(client, demo_engine, client.post(begun(client), data=filled()).headers["Location"])
        assert other.page().one("h2", class_="do").text == "Sing a song."
        assert {one["id"]: one["revision"] for one in other.sheet["sections"]}[procedure.procedure] == 2
        # The record of the first is made from its own sheet as well.
        assert "Sing a song." not in job.page("/record").text
    finally:
        app.extensions["library"] = library


def test_a_plan_with_nothing_in_it_is_not_started(client: FlaskClient, demo_engine: Engine, url: str) -> None:
    change(client, url, "strike", RADAR, "Not touched.")
    change(client, url, "strike", CAMERA, "Not touched.")
    answer = client.post(url.replace("plan", "start"))
    assert answer.status_code == 409
    assert "plan is empty" in Page(answer.text).one("div", role="alert").text
    with session(demo_engine) as db:
        assert job_of(db, url.split("/")[2]).phase == "planning"


@pytest.mark.parametrize(
    "given",
    [
        {},
        {"go": "vehicle", "vehicle": "orvane-wagon", "asked": "orvane-wagon", "reasons": ["windscreen-replaced"]},
        {**filled(), "go": "vehicle", "q-driven-axles": ""},
        {**filled(), "go": "vehicle", "odometer_km": ""},
        {**filled(), "go": "vehicle", "repair_order": ""},
    ],
)
def test_a_job_with_questions_open_leads_back_to_them_and_is_not_started(
    client: FlaskClient, demo_engine: Engine, given: dict[str, Any]
) -> None:
    intake = begun(client)
    if given:
        assert client.post(intake, data=given).status_code == 303
    job = intake.split("/")[2]
    for answer in (
        client.get(f"/jobs/{job}/plan"),
        client.post(f"/jobs/{job}/plan", data={"do": "add", "calibration": CAMERA, "reason": "Why not."}),
        client.post(f"/jobs/{job}/start"),
    ):
        assert (answer.status_code, answer.headers["Location"]) == (303, intake)
    with session(demo_engine) as db:
        assert job_of(db, job).phase == "planning"


def test_a_job_without_a_model_leads_back_to_its_intake(client: FlaskClient) -> None:
    intake = begun(client, "YZ9RV4WF7R1000042")
    for path in ("plan", "start"):
        assert client.post(intake.replace("intake", path)).headers["Location"] == intake
    assert client.get(intake.removesuffix("/intake"), follow_redirects=True).request.path == intake


def test_a_job_that_runs_has_no_plan_to_change(client: FlaskClient, demo_engine: Engine, url: str) -> None:
    job = start(client, demo_engine, url)
    before = job.sheet
    form = {"do": "strike", "calibration": RADAR, "reason": "Too late."}
    assert client.post(url, data=form).headers["Location"] == job.url
    assert client.get(url).headers["Location"] == job.url
    assert job.sheet == before


@pytest.mark.parametrize(
    ("trouble", "says"), [(locked, "The database is busy"), (full, "The disk of the shop's computer is full")]
)
def test_a_start_that_cannot_be_kept_leaves_nothing_half_written(
    client: FlaskClient, impatient: Engine, url: str, trouble: Trouble, says: str
) -> None:
    def kept() -> tuple[int, int, str]:
        with session(impatient) as db:
            sheets, events = db.exec(select(tables.Sheet)).all(), db.exec(select(EventRow)).all()
            job = db.exec(select(Job)).one()
            return len(sheets), len(events), job.phase

    with trouble(impatient):
        answer = client.post(url.replace("plan", "start"))
    assert answer.status_code == 503
    page = Page(answer.text)
    assert says in page.one("div", role="alert").text
    assert len(headings(page)) == 2  # the plan stands
    assert kept() == (0, 0, "planning")
    start(client, impatient, url)
    assert kept() == (1, 1, "open")


def test_a_reason_typed_while_the_database_is_locked_stays_in_its_field(
    client: FlaskClient, impatient: Engine, url: str
) -> None:
    with locked(impatient):
        answer = client.post(url, data={"do": "strike", "calibration": RADAR, "reason": "Not touched."})
    assert answer.status_code == 503
    assert Page(answer.text).one("input", id=f"strike-{RADAR}")["value"] == "Not touched."


def give_plan(engine: Engine, corners: list[list[float]]) -> str:
    """A plan for bay 1, with a pillar far off; its code."""
    with writing(engine) as db:
        bay = db.exec(select(Item).where(Item.name == "Bay 1")).one()
        pillar = {"name": "Pillar", "corners": [[9000, 9000], [9100, 9000], [9100, 9100]]}
        bay.plan = {"corners": corners, "obstacles": [pillar]}
        db.add(bay)
        return bay.code


def in_bay(engine: Engine, url: str, bay: str | None) -> None:
    with writing(engine) as db:
        job = job_of(db, url.split("/")[2])
        job.bay = bay
        db.add(job)


def fitting(page: Page) -> str:
    return page.text.replace("\u2068", "").replace("\u2069", "")


def test_the_plan_says_whether_the_clear_floor_fits_the_bay(client: FlaskClient, demo_engine: Engine, url: str) -> None:
    in_bay(demo_engine, url, give_plan(demo_engine, [[9000, 5000], [9000, -5000], [-9000, -5000], [-9000, 5000]]))
    assert "● It fits Bay 1: the nearest is the bay’s edge" in fitting(plan(client, url))
    give_plan(demo_engine, [[9000, 5000], [9000, -1500], [-9000, -1500], [-9000, 5000]])
    page = fitting(plan(client, url))
    assert "⊗ It does not fit Bay 1: it reaches beyond the bay’s edge by" in page
    assert re.search(r"It fits with the vehicle [\d\u202f]+ mm farther to the left\.", page)
    give_plan(demo_engine, [[1000, 1000], [1000, -1000], [-1000, -1000], [-1000, 1000]])
    assert "No place in this bay is large enough" in fitting(plan(client, url))


def test_of_a_bay_with_a_size_alone_the_plan_says_whether_it_is_large_enough(
    client: FlaskClient, demo_engine: Engine, url: str
) -> None:
    with session(demo_engine) as db:
        bay = db.exec(select(Item).where(Item.name == "Bay 2")).one().code
    in_bay(demo_engine, url, bay)
    page = fitting(plan(client, url))
    assert "Its plan is not on the kit’s page" in page or "does not fit Bay 2" in page
    in_bay(demo_engine, url, None)
    assert "Whether it fits is not known" in fitting(plan(client, url))


def test_the_step_that_clears_the_floor_says_what_the_plan_said(
    client: FlaskClient, demo_engine: Engine, url: str
) -> None:
    in_bay(demo_engine, url, give_plan(demo_engine, [[9000, 5000], [9000, -5000], [-9000, -5000], [-9000, 5000]]))
    job = start(client, demo_engine, url)
    assert job.sheet["job"]["fit"]["fits"]
    shown = [one["id"] for one in job.sheet["steps"] if one.get("shows") == "area"]
    assert "bay-ready/clear-area" in shown
    page = job.page("/steps/bay-ready/clear-area")
    assert "● It fits Bay 1" in fitting(page)


def test_a_job_s_drawings_have_its_bay_under_them_and_tell_of_it(
    client: FlaskClient, demo_engine: Engine, url: str
) -> None:
    corners = [[5500, 2200], [5500, -2200], [-6000, -2200], [-6000, 2200]]
    in_bay(demo_engine, url, give_plan(demo_engine, corners))
    job = start(client, demo_engine, url)
    assert job.sheet["job"]["floor_plan"]["corners"] == corners
    page = job.page("/steps/bay-ready/clear-area")
    assert any(one.attributes.get("class") == "wall" for one in page.elements)
    assert "Grey band: the edge of Bay 1, with the vehicle in its usual place." in fitting(page)
