"""A job that a phone planned and started alone: its sheet is made again here, and compared."""

import json
from typing import Any

import pytest

from tests.sync.conftest import Exchange
from tests.sync.phone import Body, Held, Phone
from tests.sync.test_bad_input import kept_aside
from webapp.core.act import Draft
from webapp.core.events import new_id
from webapp.core.freeze import make_sheet
from webapp.core.plan import propose
from webapp.core.procedure import Library
from webapp.core.sheet import Sheet, canonical, content_hash
from webapp.messages import say
from webapp.storage.differences import differences_of
from webapp.storage.engine import session
from webapp.storage.jobs import job_of
from webapp.sync import moment


def planned(library: Library) -> tuple[dict[str, Any], Sheet]:
    """Facts and sheet, as a phone makes them from its shelf."""
    vehicle = library.vehicles["orvane-wagon"]
    reasons = ["windscreen-replaced"]
    job = {
        "id": new_id(2),
        "sort": "calibration",
        "repair_order": "RO 20418",
        "vin": "0RVWA4G2XK1000417",
        "odometer_km": 48210,
        "reasons": reasons,
        "qualifiers": {one.name: one.options[0].value for one in vehicle.qualifiers},
        "lamps": "",
        "codes": "",
        "bay": None,
    }
    sheet = make_sheet(library, job, vehicle, propose(library, vehicle, reasons), {}, say)
    facts = {"job": job, "vehicle": "orvane-wagon", "added": {}, "struck": {}, "at": moment.now(), "person": None}
    return facts | {"sheet": content_hash(sheet)}, sheet


def begun(at: Exchange, facts: dict[str, Any], sheet: Sheet) -> Phone:
    """A phone that has started the job alone and done its first step."""
    phone, job = at.phone(), facts["job"]["id"]
    phone.jobs[job] = Held(sheet, facts["sheet"])
    phone.keep(job, Draft("started", None, 1, 0, {"sheet": facts["sheet"]}))
    first = sheet["steps"][0]["id"]
    phone.keep(job, Draft("left-undone", first, 1, 0, {"reason": "Later."}))
    return phone


def otherwise(sheet: Sheet, facts: dict[str, Any]) -> tuple[dict[str, Any], Sheet]:
    """The sheet as procedures of last week made it."""
    step = sheet["steps"][0] | {"do": "Do it as last week."}
    older = sheet | {"steps": [step, *sheet["steps"][1:]]}
    return facts | {"sheet": content_hash(older)}, older


def shown(at: Exchange, job: str) -> list[tuple[str, Any, Any]]:
    with session(at.engine) as db:
        return [(one.what, one.phone, one.server) for one in differences_of(db, job)]


def test_a_job_begun_alone_needs_only_its_facts_where_both_make_the_same_sheet(at: Exchange, library: Library) -> None:
    facts, sheet = planned(library)
    phone, job = begun(at, facts, sheet), facts["job"]["id"]
    said = phone.send(at.client, jobs=[json.dumps(facts)])
    assert said["jobs"] == [{"id": job, "status": "made"}]
    assert [one["status"] for one in said["answers"]] == ["kept", "kept"]
    assert (said["digests"][job]["digest"], shown(at, job)) == (phone.digest(job), [])
    with session(at.engine) as db:
        row = job_of(db, job)
        assert (row.phase, row.sheet, row.repair_order) == ("open", facts["sheet"], "RO 20418")
    assert at.client.get(f"/jobs/{job}").status_code == 200
    assert phone.send(at.client, jobs=[json.dumps(facts)])["jobs"] == [{"id": job, "status": "known"}]


def test_events_that_came_before_their_jobs_facts_wait_and_come_in_with_them(at: Exchange, library: Library) -> None:
    facts, sheet = planned(library)
    phone, job = begun(at, facts, sheet), facts["job"]["id"]
    said = phone.send(at.client)
    assert [one["error"]["code"] for one in said["answers"]] == ["job-unknown", "job-unknown"]
    assert said["highest"] == 2
    assert phone.send(at.client, jobs=[json.dumps(facts)])["digests"][job]["digest"] == phone.digest(job)
    assert kept_aside(at) == []
    assert at.state(job) == phone.state(job)


def test_another_sheet_is_asked_for_kept_and_told(at: Exchange, library: Library) -> None:
    facts, sheet = planned(library)
    older_facts, older = otherwise(sheet, facts)
    phone, job = begun(at, older_facts, older), facts["job"]["id"]
    said = phone.send(at.client, jobs=[json.dumps(older_facts)])
    assert (said["jobs"][0]["status"], said["jobs"][0]["error"]["code"]) == ("refused", "sheet-differs")
    said = phone.send(at.client, jobs=[json.dumps(older_facts | {"body": canonical(older)})])
    assert said["jobs"] == [{"id": job, "status": "made"}]
    assert said["digests"][job]["digest"] == phone.digest(job)
    assert shown(at, job) == [("sheet-made", older_facts["sheet"], facts["sheet"])]
    assert "Do it as last week." in at.client.get(f"/jobs/{job}/journal.jsonl").text


def changed(facts: Body, **job: Any) -> Body:
    return facts | {"job": facts["job"] | job}


@pytest.mark.parametrize(
    ("wrong", "code", "field"),
    [
        ({"sheet": "f" * 64, "body": "{}"}, "sheet-damaged", "body"),
        ({"at": "today"}, "job-facts", "at"),
        ({"added": []}, "job-facts", "added"),
        ({"colour": 1}, "unknown-field", "colour"),
        ({"sheet": 7}, "not-text", "sheet"),
        ({"job": []}, "not-an-object", "job"),
        ({"vehicle": "x" * 501}, "text-too-long", "vehicle"),
    ],
)
def test_facts_that_are_none_are_refused_by_name(
    at: Exchange, library: Library, wrong: Body, code: str, field: str
) -> None:
    facts, sheet = planned(library)
    phone = begun(at, facts, sheet)
    said = phone.send(at.client, jobs=[json.dumps(facts | wrong)])
    assert (said["jobs"][0]["status"], said["jobs"][0]["error"]["code"], said["jobs"][0]["error"]["field"]) == (
        "refused",
        code,
        field,
    )
    assert {one["status"] for one in said["answers"]} == {"aside"}


@pytest.mark.parametrize(
    "about",
    [
        {"id": "../x"},
        {"sort": "party"},
        {"odometer_km": "far"},
        {"reasons": None},
        {"qualifiers": {"a": 1}},
        {"id": None},
        {"floor_plan": None},
        {"floor_plan": {"name": "Bay 1", "corners": [[0, 0], [1, 1]], "obstacles": []}},
        {"floor_plan": {"name": "Bay 1", "corners": [[0, 0], [1e9, 0], [0, 1e9]], "obstacles": []}},
        {"floor_plan": {"name": 7, "corners": [[0, 0], [900, 0], [0, 900]], "obstacles": []}},
        {"floor_plan": {"corners": [[0, 0], [900, 0], [0, 900]], "obstacles": []}},
        {"floor_plan": {"name": "Bay 1", "corners": [[0, "x"], [900, 0], [0, 900]], "obstacles": []}},
        {"floor_plan": {"name": "Bay 1", "corners": [[0, 0], [900, 0], [0, 900]], "obstacles": [7]}},
    ],
)
def test_a_jobs_own_facts_are_looked_at_too(at: Exchange, library: Library, about: Body) -> None:
    facts, sheet = planned(library)
    phone = begun(at, facts, sheet)
    said = phone.send(at.client, jobs=[json.dumps(changed(facts, **about))])
    assert said["jobs"][0]["error"]["code"] == "job-facts"


@pytest.mark.parametrize("spoiled", [{"steps": None}, {"steps": [{}]}, {"format": 99}, {"job": {}}])
def test_a_sheet_that_no_page_could_show_is_refused(at: Exchange, library: Library, spoiled: Body) -> None:
    facts, sheet = planned(library)
    bad = sheet | spoiled
    sent = facts | {"sheet": content_hash(bad), "body": canonical(bad)}
    said = at.phone().send(at.client, jobs=[json.dumps(sent)])
    assert said["jobs"][0]["error"]["code"] == "sheet-damaged"


def test_a_job_that_has_another_sheet_here_is_left_as_it_is(at: Exchange, library: Library) -> None:
    facts, sheet = planned(library)
    begun(at, facts, sheet).send(at.client, jobs=[json.dumps(facts)])
    older_facts, older = otherwise(sheet, facts)
    said = at.phone().send(at.client, jobs=[json.dumps(older_facts | {"body": canonical(older)})])
    assert said["jobs"][0]["error"]["code"] == "job-other-sheet"
    with session(at.engine) as db:
        assert job_of(db, facts["job"]["id"]).sheet == facts["sheet"]


def test_a_days_check_begun_alone_is_taken(at: Exchange, library: Library) -> None:
    job: dict[str, Any] = {
        "id": new_id(3),
        "sort": "day",
        "repair_order": "",
        "vin": "",
        "odometer_km": None,
        "bay": None,
    }
    job |= {"reasons": [], "qualifiers": {}}
    sheet = make_sheet(library, job, None, [], {}, say)
    facts = {"job": job, "vehicle": None, "added": {}, "struck": {}, "at": moment.now(), "sheet": content_hash(sheet)}
    phone = begun(at, facts, sheet)
    assert [one["status"] for one in phone.send(at.client, jobs=[json.dumps(facts)])["answers"]] == ["kept", "kept"]
