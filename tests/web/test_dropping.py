"""A job that is not done after all is dropped before its start, and stands in nobody's way."""

import pytest
from flask.testing import FlaskClient
from sqlalchemy.engine import Engine

from webapp.storage.engine import session
from webapp.storage.jobs import job_of

from .job import VIN, Begin
from .markup import Page
from .test_intake import begun
from .trouble import locked


@pytest.fixture
def url(client: FlaskClient) -> str:
    """The page that drops a job whose VIN has just been read."""
    return begun(client).replace("intake", "drop")


def test_intake_and_plan_lead_to_it(client: FlaskClient, url: str) -> None:
    assert Page(client.get(url.replace("drop", "intake")).text).one("a", href=url).text == "Drop this job"
    assert "0RV WA4G2X K100 0417" in Page(client.get(url).text).text


def test_a_dropped_job_leaves_the_list_keeps_its_reason_and_frees_its_vin(
    client: FlaskClient, demo_engine: Engine, url: str
) -> None:
    assert client.post(url, data={"reason": "Misread VIN."}).headers["Location"] == "/"
    with session(demo_engine) as db:
        job = job_of(db, url.split("/")[2])
    assert (job.phase, job.plan["dropped"]) == ("abandoned", "Misread VIN.")
    today = Page(client.get("/").text)
    assert "Being planned" not in today.text
    shown = client.get(today.one("a", href=f"/jobs/{job.id}/record")["href"], follow_redirects=True)
    assert shown.request.path == url
    assert "Misread VIN." in Page(shown.text).text
    assert "Another job is open" not in Page(client.get(begun(client, VIN)).text).text
    for path in ("", "/plan", "/intake"):
        assert client.get(f"/jobs/{job.id}{path}", follow_redirects=True).request.path == url


def test_without_a_reason_it_is_kept_and_a_long_one_is_not_lost(
    client: FlaskClient, demo_engine: Engine, url: str
) -> None:
    for reason, says in ((" ", "reason is empty; say why this job is dropped"), ("x" * 2001, "reason has 2001")):
        answer = client.post(url, data={"reason": reason})
        assert answer.status_code == 400
        page = Page(answer.text)
        assert says in page.alert
        assert page.value("reason") == [reason]
    with session(demo_engine) as db:
        assert job_of(db, url.split("/")[2]).phase == "planning"


def test_a_locked_database_keeps_the_reason_in_its_field(client: FlaskClient, impatient: Engine, url: str) -> None:
    with locked(impatient):
        answer = client.post(url, data={"reason": "Misread VIN."})
    assert answer.status_code == 503
    assert Page(answer.text).value("reason") == ["Misread VIN."]


def test_a_job_that_runs_is_abandoned_on_its_own_page_and_not_dropped(at: Begin) -> None:
    job = at("/load")
    assert job.client.get(f"{job.url}/drop").headers["Location"] == job.url
    job.client.post(f"{job.url}/drop", data={"reason": "Oops."})
    assert job.state.phase == "open"
