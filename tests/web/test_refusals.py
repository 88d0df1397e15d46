"""Whatever is refused, and wherever: one look, what to do now, and nothing of our insides."""

import json
import logging
from base64 import urlsafe_b64encode
from collections.abc import Iterator
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy.engine import Engine
from sqlmodel import select

from tests.cast import ADA, NOOR, scan_badge
from webapp.config import Settings
from webapp.core.procedure import Library
from webapp.storage.engine import engine as engine_for
from webapp.storage.engine import session
from webapp.storage.tables import Item
from webapp.web.guard import POLICY

from .job import AtJob, begin
from .markup import Page
from .upload import form_with

HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
}


@pytest.fixture
def job(client: FlaskClient, demo_engine: Engine, library: Library, shop: Settings) -> AtJob:
    scan_badge(client, NOOR)
    return begin(client, demo_engine, library, shop.photos, "/hang-boards")


@pytest.fixture
def served(app: Flask) -> Iterator[Flask]:
    """The application as it is served: an error that nobody foresaw becomes a page, as it would in the shop."""
    app.config["PROPAGATE_EXCEPTIONS"] = False
    yield app
    app.config["PROPAGATE_EXCEPTIONS"] = None


def in_the_houses_look(html: str) -> Page:
    page = Page(html)
    assert page.one("a", class_="brand")["href"] == "/"
    assert page.one("div", role="alert").text.strip()
    assert page.one("a", class_="button")["href"] == "/"
    assert "Traceback" not in html
    return page


def test_a_page_that_is_none_is_named_and_leads_back(client: FlaskClient) -> None:
    answer = client.get("/no/such/page")
    assert answer.status_code == 404
    assert "There is no page /no/such/page here" in in_the_houses_look(answer.text).text


@pytest.mark.parametrize("path", ["/check/{}-00", "/phone/ios/{}", "/specs/orvane-wagon/revisions/{}"])
def test_a_number_beyond_any_database_names_nothing(client: FlaskClient, path: str) -> None:
    for number in (2**63 - 1, 2**63, 10**400):
        answer = client.get(path.format(number))
        assert answer.status_code == 404, number
    assert client.post(f"/sync/asides/{2**63}", data={"do": "leave-out", "reason": "x"}).status_code == 404


@pytest.mark.parametrize("path", ["/jobs/nothing", "/jobs/nothing/steps", "/jobs/nothing/record", "/jobs/nothing/plan"])
def test_a_job_that_is_none_is_named(client: FlaskClient, path: str) -> None:
    answer = client.get(path)
    assert answer.status_code == 404
    assert "job='nothing' is not known here" in in_the_houses_look(answer.text).text


def test_a_step_that_is_none_is_named(job: AtJob) -> None:
    answer = job.client.get(f"{job.url}/steps/work/nothing")
    assert answer.status_code == 404
    assert "step='work/nothing' is not on this job's sheet" in in_the_houses_look(answer.text).text


@pytest.mark.parametrize("name", ["a" * 64, "no-photo", "A" * 64])
def test_a_photo_that_is_none_is_no_breakdown(client: FlaskClient, name: str) -> None:
    answer = client.get(f"/photos/{name}.jpg")
    assert answer.status_code == 404
    assert "photo=" in in_the_houses_look(answer.text).text


def test_a_forms_address_opened_as_a_page_says_where_to_go(client: FlaskClient) -> None:
    answer = client.get("/equipment-check")
    assert answer.status_code == 405
    assert "POST" in answer.headers["Allow"]
    assert "cannot be opened by itself" in in_the_houses_look(answer.text).text


def test_an_upload_without_end_is_refused_before_it_is_read(client: FlaskClient, app: Flask) -> None:
    photo = b"x" * (app.config["MAX_CONTENT_LENGTH"] + 1)
    for sent in (form_with({}, photo), form_with({"vin": "x" * 600_000})):
        answer = client.post("/jobs/new", **sent)
        assert answer.status_code == 413
        assert "too large" in in_the_houses_look(answer.text).text


def test_what_nobody_foresaw_is_logged_and_the_page_says_what_to_do(
    served: Flask, client: FlaskClient, caplog: pytest.LogCaptureFixture
) -> None:
    # A library that was lost while the server ran: no page foresees that.
    library = served.extensions.pop("library")
    try:
        with caplog.at_level(logging.ERROR):
            answer = client.post("/equipment-check")
    finally:
        served.extensions["library"] = library
    assert answer.status_code == 500
    page = in_the_houses_look(answer.text)
    assert "Something went wrong in Baybook itself" in page.text
    assert "open the page again and look" in page.text
    assert "KeyError" not in answer.text
    (logged,) = caplog.records
    assert "/equipment-check [POST]" in logged.getMessage()
    assert "\nKeyError: 'library'\n" in logged.getMessage()
    assert "began" not in client.get("/").text


def test_a_database_that_is_away_still_gives_a_page(client: FlaskClient, app: Flask, tmp_path: Path) -> None:
    scan_badge(client, ADA)  # so that even the page's head would like to ask the database
    app.extensions["engine"] = engine_for(f"sqlite:///{tmp_path}/nowhere/baybook.db")
    answer = client.get("/")
    assert answer.status_code == 503
    page = in_the_houses_look(answer.text)
    assert "The database cannot be reached. Nothing was kept" in page.text


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({"Sec-Fetch-Site": "cross-site"}, 403),
        ({"Sec-Fetch-Site": "same-site"}, 403),
        ({"Sec-Fetch-Site": "cross-site", "Origin": "http://localhost"}, 403),
        ({"Origin": "https://elsewhere.example"}, 403),
        ({"Origin": "null"}, 403),
        ({"Sec-Fetch-Site": "same-origin"}, 303),
        ({"Sec-Fetch-Site": "none"}, 303),
        ({"Origin": "http://localhost"}, 303),
        ({}, 303),
    ],
)
def test_a_form_from_another_site_does_nothing_here(client: FlaskClient, headers: dict[str, str], status: int) -> None:
    answer = client.post("/equipment-check", headers=headers)
    assert answer.status_code == status
    refused = status == 403
    assert ("came from another site" in answer.text) is refused
    assert ("is due" in client.get("/").text) is refused


def test_another_site_may_link_to_a_page(client: FlaskClient) -> None:
    assert client.get("/", headers={"Sec-Fetch-Site": "cross-site"}).status_code == 200


def test_a_program_that_asks_for_json_gets_the_same_error_as_json(client: FlaskClient) -> None:
    answer = client.get("/jobs/nothing", headers={"Accept": "application/json"})
    assert (answer.status_code, answer.json["error"]["code"]) == (404, "job-unknown")
    answer = client.get("/nothing", headers={"Accept": "application/json"})
    assert answer.json["error"] == {
        "code": "http-404",
        "field": "",
        "message": "There is no page /nothing here; the Today page leads to all of them.",
    }


def pages_of(job: AtJob, items: list[Item]) -> list[str]:
    """An address of every page that the application has, with what stands for its variables."""
    stands = {
        "job_id": job.id,
        "name": "vehicle-ready/load",
        "sha256": "a" * 64,
        "code": items[0].code,
        "calibration": "forward-camera-static",
        "section": "forward-camera-static",
        "step": "vehicle-ready/load",
        "filename": "css/baybook.css",
        "system": "android",
        "number": 1,
        "vehicle": "orvane-wagon",
        "part": "about",
        "what": "steps",
        "paper": "record",
        "digest": "0" * 16,
    }
    app = job.client.application
    return sorted(
        # Things and people are known by codes alike.
        str(
            app.url_map.bind("localhost").build(rule.endpoint, {name: stands[name] for name in rule.arguments})
        ).replace(f"/people/{items[0].code}", f"/people/{NOOR.badge}")
        for rule in app.url_map.iter_rules()
        if "GET" in (rule.methods or ())
    )


@pytest.fixture
def pages(job: AtJob, demo_engine: Engine) -> list[str]:
    with session(demo_engine) as db:
        return pages_of(job, list(db.exec(select(Item).order_by(Item.code))))


def test_every_answer_carries_the_security_headers(job: AtJob, pages: list[str]) -> None:
    assert len(pages) > 20
    for path in [*pages, "/no/such/page"]:
        with job.client.get(path) as answer:
            assert {name: answer.headers.get(name) for name in HEADERS} == HEADERS, path
            if answer.mimetype == "text/html":
                assert answer.headers["Cache-Control"] == "no-store", path
    assert job.client.post("/jobs/new", data={"vin": ""}).headers["Content-Security-Policy"] == POLICY


def test_the_policy_lets_in_no_script_and_no_style_but_our_own_files() -> None:
    assert "default-src 'self'" in POLICY
    assert "unsafe" not in POLICY
    assert "frame-ancestors 'none'" in POLICY


def test_no_page_has_script_or_style_inside(job: AtJob, pages: list[str], client: FlaskClient) -> None:
    seen = 0
    for path in [*pages, "/no/such/page"]:
        with client.get(path, follow_redirects=True) as answer:
            page = Page(answer.text if answer.mimetype == "text/html" else "")
        seen += bool(page.all("h1"))
        assert [one for one in page.all("script") if not one.has("src") or one.text.strip()] == [], path
        assert page.all("style") == [], path
        told = [
            (one.tag, name)
            for one in page.elements
            for name, value in one.attributes.items()
            if name == "style" or name.startswith("on") or value.strip().lower().startswith("javascript:")
        ]
        assert told == [], path
    assert seen > 15


def test_a_badge_cannot_be_written_into_the_cookie_by_hand(client: FlaskClient) -> None:
    scan_badge(client, NOOR)
    cookie = client.get_cookie("session")
    assert cookie is not None
    assert NOOR.name in client.get("/").text
    payload = urlsafe_b64encode(json.dumps({"_permanent": True, "person": ADA.badge}).encode()).decode().rstrip("=")
    client.set_cookie("session", ".".join([payload, *cookie.value.split(".")[1:]]))
    page = client.get("/").text
    assert ADA.name not in page
    assert "no badge scanned" in page
