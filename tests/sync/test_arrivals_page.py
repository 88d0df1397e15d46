"""The page of what phones brought: what waits, why, and a manager's decision with name and reason."""

import json
import re
from datetime import UTC, datetime, timedelta
from io import BytesIO

import pytest
from werkzeug.test import TestResponse

from tests.cast import ADA, TOMAS, scan_badge
from tests.sync.conftest import Exchange
from tests.sync.phone import written
from tests.sync.test_asides import from_the_future, journal_file
from tests.sync.test_bad_input import CONFIRMED, kept_aside
from tests.sync.test_pairing import revoke
from webapp.core.act import Draft
from webapp.storage.moments import instant
from webapp.sync import decisions

PAGE = "/phones/arrivals"


def decide(at: Exchange, do: str, reason: str) -> str:
    """Send the form that stands on the page, and go where it leads."""
    (action,) = set(re.findall(r'action="(/sync/asides/[^"]+)"', at.client.get(PAGE).text))
    answer = at.client.post(action, data={"do": do, "reason": reason})
    assert (answer.status_code, answer.headers["Location"]) == (303, PAGE)
    return at.client.get(PAGE).text


def bring_in(at: Exchange, text: str) -> str:
    answer = at.client.post(f"/sync/imports?to={PAGE}", data={"journal": (BytesIO(text.encode()), "phone.jsonl")})
    assert (answer.status_code, answer.headers["Location"]) == (303, PAGE)
    return at.client.get(PAGE).text


def test_what_waits_is_shown_with_phone_time_and_reason(at: Exchange) -> None:
    _job, phone = from_the_future(at)
    at.as_manager()
    page = at.client.get(PAGE).text
    assert "lies more than a day ahead" in page
    assert f"{phone.device} 2" in page
    assert phone.lines[2][:40].replace('"', "&#34;") in page  # its own bytes, to be read
    assert "1 arrival waits" in at.client.get("/phones").text


@pytest.mark.parametrize(("do", "was"), [("bring-in", "● brought in"), ("leave-out", "⊗ left out")])
def test_a_manager_decides_on_the_page_and_it_tells_who_and_why(at: Exchange, do: str, was: str) -> None:
    from_the_future(at)
    at.as_manager()
    page = decide(at, do, "The clock was <wrong>")
    assert "Nothing waits for a decision" in page
    assert was in page
    assert f"{TOMAS.name}: The clock was &lt;wrong&gt;" in page
    assert "arrival waits" not in at.client.get("/phones").text


def test_a_refused_decision_is_told_beside_what_it_is_about(at: Exchange) -> None:
    job = at.job()
    phone = at.phone(job)
    phone.keep(job, Draft("paused", None, 1, 0, {"reason": "holiday"}))
    phone.send(at.client)
    at.as_manager()
    for reason, says in (("", "reason has 0 characters"), ("Let it in", "reason=&#39;holiday&#39;")):
        page = decide(at, "bring-in", reason)
        (section,) = re.findall(r'<section class="verdict close arrival".*?</section>', page, re.DOTALL)
        assert says in section
    assert "holiday" in at.client.get(PAGE).text
    assert 'role="alert"' not in at.client.get(PAGE).text  # told once


def test_a_refused_decision_keeps_the_reason_that_was_typed(at: Exchange) -> None:
    from_the_future(at)
    at.as_manager()
    long = "The clock was <wrong>. " * 12
    page = decide(at, "leave-out", long)
    assert "reason has 275 characters" in page
    assert f'value="{long.replace("<", "&lt;").replace(">", "&gt;")}"' in page
    assert "The clock was" not in at.client.get(PAGE).text  # told once


def test_a_refusal_about_what_waits_no_more_is_told_all_the_same(at: Exchange) -> None:
    from_the_future(at)
    at.as_manager()
    at.client.get(PAGE)
    answer = at.client.post(f"/sync/asides/99?to={PAGE}", data={"do": "leave-out", "reason": "Gone."})
    assert answer.status_code == 303
    assert "99" in re.findall(r'<div class="refused" role="alert">(.*?)</div>', at.client.get(PAGE).text)[0]


def test_all_that_waits_of_a_phone_for_one_reason_is_decided_at_once(at: Exchange) -> None:
    job = at.job()
    phone, other = at.phone(job), at.phone(job)
    for _ in range(4):
        phone.work(job)
    other.keep(job, Draft("paused", None, 1, 0, {"reason": "holiday"}))
    ahead = instant(datetime.now(UTC) + timedelta(days=3))
    phone.lines = {seq: written({**json.loads(line), "at": ahead}) for seq, line in phone.lines.items()}
    phone.send(at.client)
    other.send(at.client)
    at.as_manager()
    page = at.client.get(PAGE).text
    assert page.count("the other 3 of this phone") == 4
    action = re.findall(r'action="(/sync/asides/[^"]+)"', page)[1]
    form = {"do": "bring-in", "reason": "Its clock was three days ahead", "all": "yes"}
    assert at.client.post(action, data=form).status_code == 303
    page = at.client.get(PAGE).text
    assert "Decided about 4 at once; 0 could not" in page
    assert page.count("Its clock was three days ahead") == 4
    (left,) = kept_aside(at)
    assert left.device == other.device
    assert at.digest(job) == phone.digest(job)


def test_a_supervisor_may_look_and_not_decide(at: Exchange) -> None:
    from_the_future(at)
    assert at.client.get(PAGE).status_code == 403
    scan_badge(at.client, ADA)
    page = at.client.get(PAGE).text
    assert "Only a manager decides" in page
    assert "/sync/" not in page


def test_a_batch_of_a_phone_that_was_turned_away_is_told_as_a_whole(at: Exchange) -> None:
    job = at.job()
    phone = at.phone(job)
    phone.keep(job, CONFIRMED)
    revoke(at, phone)
    assert phone.batch().arrive(at.client).status_code == 403
    at.as_manager()
    assert "A whole batch of 1 events" in at.client.get(PAGE).text
    assert "● brought in" in decide(at, "bring-in", "It came back")
    assert at.state(job) == phone.state(job)


def test_a_saved_journal_is_brought_in_and_the_page_tells_what_came_of_it(at: Exchange) -> None:
    job = at.job()
    phone = at.phone(job)
    phone.keep(job, CONFIRMED)
    at.as_manager()
    page = bring_in(at, journal_file(phone) + '{"seq": 2, "dev')
    assert "1 kept, 0 known already, 0 kept aside" in page
    assert "line 3 is not JSON" in page
    assert at.state(job) == phone.state(job)
    assert "0 kept, 1 known already" in bring_in(at, journal_file(phone))


@pytest.mark.parametrize(
    ("text", "says"),
    [("", "this is no journal"), ("Holiday photos", "line 1 is not JSON"), ("{}", "this is no journal")],
)
def test_a_file_that_is_no_journal_is_refused_on_the_page(at: Exchange, text: str, says: str) -> None:
    at.as_manager()
    page = bring_in(at, text)
    assert 'role="alert"' in page
    assert says in page


def test_no_file_and_one_too_large_are_refused_on_the_page(at: Exchange, monkeypatch: pytest.MonkeyPatch) -> None:
    at.as_manager()

    def send(data: bytes, name: str) -> TestResponse:
        return at.client.post(f"/sync/imports?to={PAGE}", data={"journal": (BytesIO(data), name)})

    assert send(b"", "").status_code == 303
    assert "choose the file that the phone saved" in at.client.get(PAGE).text
    monkeypatch.setattr(decisions, "LARGEST_FILE", 100)
    monkeypatch.setattr(decisions, "LARGEST_REFUSED", 400)
    for size in (101, 4000):
        assert send(b"x" * size, "phone.jsonl").status_code == 303
        assert "at most 100 are read" in at.client.get(PAGE).text
    assert kept_aside(at) == []
