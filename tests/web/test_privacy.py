"""A manager finds what is held of a vehicle's owner, gives it out, and erases it with PIN and reason."""

import json
import zipfile
from io import BytesIO

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy.engine import Engine
from sqlmodel import select

from tests.cast import ADA, TOMAS, scan_badge
from webapp.config import Settings
from webapp.storage.engine import session
from webapp.storage.tables import Job

from .markup import Page


@pytest.fixture
def job(pages: FlaskClient, history_engine: Engine) -> Job:
    scan_badge(pages, TOMAS)
    with session(history_engine) as db:
        found = db.exec(select(Job).where(Job.phase == "finished", Job.sort == "calibration")).first()
    assert found is not None
    return found


def test_the_vehicle_is_found_by_its_vin_and_nobody_but_a_manager_looks(pages: FlaskClient, job: Job) -> None:
    answer = pages.post("/owners", data={"vin": f" {job.vin.lower()} "})
    assert answer.status_code == 200
    assert job.repair_order in answer.text
    refused = Page(pages.post("/owners", data={"vin": "0" * 17}).text)
    assert "holds no job on a vehicle with that VIN" in refused.text
    assert refused.value("vin") == ["0" * 17]
    scan_badge(pages, ADA)
    assert pages.post("/owners", data={"vin": job.vin}).status_code == 403


def test_all_of_it_is_given_out_as_one_file(pages: FlaskClient, job: Job) -> None:
    answer = pages.post("/owners/data.zip", data={"vin": job.vin})
    assert (answer.mimetype, answer.headers["Cache-Control"]) == ("application/zip", "no-store")
    file = zipfile.ZipFile(BytesIO(answer.data))
    assert json.loads(file.read(f"{job.id}/job.json"))["repair_order"] == job.repair_order


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"your_pin": TOMAS.pin, "reason": " "}, "reason has 0 characters"),
        ({"your_pin": "0000", "reason": "Asked for."}, "your_pin is not your PIN"),
        ({"your_pin": "", "reason": "Asked for."}, "your_pin is not your PIN"),
    ],
)
def test_without_pin_or_reason_nothing_is_erased(
    pages: FlaskClient, history_engine: Engine, job: Job, given: dict[str, str], says: str
) -> None:
    answer = pages.post("/owners/erase", data={"vin": job.vin, **given})
    assert answer.status_code in (400, 403)
    page = Page(answer.text)
    assert says in page.text
    assert page.value("reason") == [given["reason"].strip() or given["reason"]]
    with session(history_engine) as db:
        assert db.get_one(Job, job.id).vin == job.vin


def test_erased_the_record_says_so_and_is_given_out_no_more(
    pages: FlaskClient, app: Flask, shop: Settings, job: Job
) -> None:
    before = pages.get("/times").text
    record = pages.get(f"/jobs/{job.id}/record")
    assert record.status_code == 200
    answer = pages.post("/owners/erase", data={"vin": job.vin, "your_pin": TOMAS.pin, "reason": "Asked for."})
    assert answer.status_code == 200
    assert "Erased from one job." in Page(answer.text).text
    page = Page(pages.get(f"/jobs/{job.id}/record").text)
    assert "Personal data was erased on" in page.text
    for path in ("record", "owner", "journal.jsonl", "steps"):
        text = pages.get(f"/jobs/{job.id}/{path}", follow_redirects=True).text
        assert job.vin not in text, path
        assert job.repair_order not in text, path
    for name in ("record.json", "record.pdf", "owner.pdf"):
        refused = pages.get(f"/jobs/{job.id}/{name}")
        assert refused.status_code == 409
        assert "personal data was erased on" in refused.text
    assert pages.get("/times").text == before
    assert not [one for one in shop.data.rglob("*") if one.is_file() and job.vin.encode() in one.read_bytes()]
    assert "holds no job" in pages.post("/owners/erase", data={"vin": job.vin}).text
    assert app.extensions["settings"] is shop
