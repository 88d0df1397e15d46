"""A manager decides: what was kept aside comes in or stays out, and a saved journal is read in."""

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from io import BytesIO
from typing import Any

import pytest

from tests.cast import ADA, TOMAS, scan_badge
from tests.sync.conftest import Exchange
from tests.sync.phone import Body, Phone, written
from tests.sync.test_bad_input import CONFIRMED, kept_aside
from tests.sync.test_offline_jobs import begun, planned
from tests.sync.test_pairing import revoke
from webapp.core.act import Draft
from webapp.core.procedure import Library
from webapp.storage.engine import session, writing
from webapp.storage.moments import instant
from webapp.storage.phone_tables import Aside, Device

REASON = "Looked at with the technician"


def decide(at: Exchange, do: str, number: int | None = None, **more: str) -> Any:
    number = number or kept_aside(at)[0].id
    return at.client.post(f"/sync/asides/{number}", data={"do": do, "reason": REASON, **more})


def journal_file(phone: Phone, *facts: Body) -> str:
    head = {"journal": 1, "device": phone.device}
    return "\n".join([json.dumps(head), *(json.dumps({"facts": one}) for one in facts), *phone.lines.values()]) + "\n"


def read_in(at: Exchange, text: str) -> Any:
    return at.client.post("/sync/imports", data={"journal": (BytesIO(text.encode()), "journal.jsonl")})


def from_the_future(at: Exchange) -> tuple[str, Phone]:
    """A phone of whose three events the second one was kept aside."""
    job = at.job()
    phone = at.phone(job)
    for _ in range(3):
        phone.work(job)
    ahead = instant(datetime.now(UTC) + timedelta(days=3))
    phone.lines[2] = written({**json.loads(phone.lines[2]), "at": ahead})
    phone.send(at.client)
    return job, phone


def test_what_was_kept_aside_comes_in_at_its_own_place(at: Exchange) -> None:
    job, phone = from_the_future(at)
    assert phone.digest(job) != at.digest(job)
    at.as_manager()
    assert decide(at, "bring-in").status_code == 200
    assert (kept_aside(at), at.digest(job)) == ([], phone.digest(job))
    assert at.state(job) == phone.state(job) == at.remembered(job)
    assert [one["status"] for one in phone.heard(phone.batch([1, 2, 3]).arrive(at.client))["answers"]] == ["known"] * 3


def test_what_is_left_out_stays_out_and_is_not_lost(at: Exchange) -> None:
    job, phone = from_the_future(at)
    (aside,) = kept_aside(at)
    at.as_manager()
    assert decide(at, "leave-out").get_json()["decision"] == "leave-out"
    with session(at.engine) as db:
        row = db.get_one(Aside, aside.id)
        assert (row.line, row.decision, row.decided_by) == (phone.lines[2], "left-out", TOMAS.badge)
        assert row.decided_why == REASON
    assert phone.heard(phone.batch([2]).arrive(at.client))["answers"][0]["status"] == "aside"
    again = decide(at, "bring-in", aside.id)
    assert (again.status_code, again.get_json()["error"]["code"]) == (409, "aside-decided")
    assert len(at.events(job)) == 3


def test_what_has_lost_its_place_comes_in_behind_everything_else(at: Exchange) -> None:
    job = at.job()
    phone = at.phone(job)
    phone.keep(job, CONFIRMED)
    phone.send(at.client)
    phone.keep(job, Draft("noted", None, 1, 0, {"text": "Lost and found."}))
    phone.lines[1] = phone.lines.pop(2).replace('"seq":2', '"seq":1')
    phone.heard(phone.batch([1]).arrive(at.client))
    at.as_manager()
    assert decide(at, "bring-in").status_code == 200
    last = max(at.events(job), key=lambda event: event.place)
    assert (last.device, last.data) == ("brought-in", {"text": "Lost and found."})
    assert [note["text"] for note in at.state(job).notes] == ["Lost and found."]
    assert at.state(job) == at.remembered(job)


def test_what_the_journal_cannot_take_stays_aside_with_the_reason(at: Exchange) -> None:
    job = at.job()
    phone = at.phone(job)
    phone.keep(job, Draft("paused", None, 1, 0, {"reason": "holiday"}))
    phone.send(at.client)
    at.as_manager()
    answer = decide(at, "bring-in")
    assert (answer.status_code, answer.get_json()["error"]["code"]) == (400, "event-data")
    assert len(kept_aside(at)) == 1


def test_only_a_manager_decides(at: Exchange) -> None:
    from_the_future(at)
    (aside,) = kept_aside(at)
    scan_badge(at.client, ADA)
    assert decide(at, "bring-in").get_json()["error"]["code"] == "needs-manager"
    assert read_in(at, "").status_code == 403
    at.as_manager()
    assert decide(at, "burn").get_json()["error"]["code"] == "do-unknown"
    assert decide(at, "bring-in", 99_999).get_json()["error"]["code"] == "aside-unknown"
    assert decide(at, "leave-out", aside.id, to="/phones").headers["Location"] == "/phones"
    assert decide(at, "leave-out", aside.id, to="//elsewhere").status_code == 409


@pytest.mark.parametrize("reason", ["", "   ", "x" * 201])
def test_a_decision_has_a_reason(at: Exchange, reason: str) -> None:
    from_the_future(at)
    at.as_manager()
    assert decide(at, "bring-in", reason=reason).get_json()["error"]["field"] == "reason"
    assert len(kept_aside(at)) == 1


def test_a_form_goes_on_to_a_page_of_this_shop_alone(at: Exchange) -> None:
    from_the_future(at)
    at.as_manager()
    assert "Location" not in decide(at, "leave-out", to="//elsewhere.example").headers


def test_a_saved_journal_is_read_in_and_read_twice_it_is_there_once(at: Exchange) -> None:
    job = at.job()
    phone = at.phone(job)
    for _ in range(8):
        phone.work(job)
    phone.heard(phone.batch([1, 2]).arrive(at.client))
    revoke(at, phone)
    at.as_manager()
    for expected in (["known"] * 2 + ["kept"] * (len(phone.lines) - 2), ["known"] * len(phone.lines)):
        said = read_in(at, journal_file(phone)).get_json()
        assert [one["status"] for one in said["batches"][0]["answers"]] == expected
        assert said["unread"] == []
    assert (at.state(job), at.digest(job)) == (phone.state(job), phone.digest(job))
    at.pair(phone)
    assert phone.send(at.client)["highest"] == len(phone.lines)


def test_a_journal_of_a_phone_that_nobody_knows_any_more_is_read_in_with_its_jobs(
    at: Exchange, library: Library
) -> None:
    facts, sheet = planned(library)
    phone, job = begun(at, facts, sheet), facts["job"]["id"]
    with writing(at.engine) as db:
        db.delete(db.get_one(Device, phone.device))
    at.as_manager()
    said = read_in(at, journal_file(phone, facts)).get_json()
    assert said["batches"][0]["jobs"] == [{"id": job, "status": "made"}]
    assert (at.state(job), at.digest(job)) == (phone.state(job), phone.digest(job))
    at.pair(phone)
    assert phone.send(at.client)["highest"] == 2


def test_a_gap_in_a_saved_journal_is_filled_later(at: Exchange) -> None:
    job = at.job()
    phone = at.phone(job)
    for _ in range(4):
        phone.keep(job, CONFIRMED)
    whole = dict(phone.lines)
    phone.lines = {3: whole[3], 4: whole[4]}
    at.as_manager()
    assert read_in(at, journal_file(phone)).get_json()["batches"][0]["highest"] == 0
    phone.lines = {1: whole[1], 2: whole[2]}
    assert read_in(at, journal_file(phone)).get_json()["batches"][0]["highest"] == 4
    assert [event.seq for event in at.events(job)[1:]] == [3, 4, 1, 2]
    phone.lines = whole
    assert (at.digest(job), at.state(job)) == (phone.digest(job), phone.state(job))


def test_a_line_that_cannot_be_read_keeps_no_other_out(at: Exchange) -> None:
    job = at.job()
    phone = at.phone(job)
    phone.keep(job, CONFIRMED)
    at.as_manager()
    said = read_in(at, journal_file(phone) + '{"seq": 2, "dev').get_json()
    assert [(one["line"], one["error"]["code"]) for one in said["unread"]] == [(3, "not-json")]
    assert said["batches"][0]["answers"][0]["status"] == "kept"


def test_a_text_that_holds_another_alphabets_line_ends_is_one_line(at: Exchange) -> None:
    job = at.job()
    phone = at.phone(job)
    phone.keep(job, Draft("noted", None, 1, 0, {"text": "one\u2028two\x85three"}))
    assert "\u2028" in phone.lines[1]
    at.as_manager()
    said = read_in(at, journal_file(phone).replace("\n", "\r\n")).get_json()
    assert (said["unread"], said["batches"][0]["answers"][0]["status"]) == ([], "kept")
    assert at.digest(job) == phone.digest(job)


@pytest.mark.parametrize("text", ["", "{}", "[1]", '{"journal": 2, "device": "phone-0123456789abcdef"}', "\x00"])
def test_a_file_that_is_no_journal_is_refused(at: Exchange, text: str) -> None:
    at.as_manager()
    answer = read_in(at, text)
    assert answer.status_code == 400
    assert answer.get_json()["error"]["field"] == "line 1"
    assert at.client.post("/sync/imports", data={}).get_json()["error"]["code"] == "file-missing"
    named = read_in(at, '{"journal": 1, "device": "server"}')
    assert named.get_json()["error"]["code"] == "device-name"


def test_a_brought_in_event_keeps_what_it_said(at: Exchange) -> None:
    job, phone = from_the_future(at)
    at.as_manager()
    decide(at, "bring-in")
    event = next(one for one in phone.events(job) if one.seq == 2 and one.device == phone.device)
    assert replace(event) in at.events(job)
