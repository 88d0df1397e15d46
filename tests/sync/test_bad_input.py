"""What a batch may be wrong in: refused as a whole, kept aside event by event, or sent again. Nothing is ever lost."""

import json
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from tests.sync.conftest import Exchange
from tests.sync.phone import Body, Phone, written
from webapp.core.act import Draft
from webapp.core.events import new_id
from webapp.storage import asides
from webapp.storage.engine import session
from webapp.storage.moments import instant
from webapp.storage.phone_tables import Aside

CONFIRMED = Draft("confirmed", "work/chock", 1, 0, {"held": False})


def kept_aside(at: Exchange) -> list[Aside]:
    with session(at.engine) as db:
        return [aside for aside, _device in asides.asides(db)]


def refused(said: Body, status: str = "aside") -> tuple[str, str]:
    """Code and field of the one event that was not kept."""
    (answer,) = [one for one in said["answers"] if one["status"] not in ("kept", "known")]
    assert answer["status"] == status
    return answer["error"]["code"], answer["error"]["field"]


# --- the whole batch


@pytest.mark.parametrize(
    ("body", "code", "field"),
    [
        (b"{", "not-json", "body"),
        ('{"events": []}'.encode("utf-16"), "not-json", "body"),
        (b"[" * 100_000, "not-json", "body"),
        (b'{"events": [], "mono_s": NaN}', "not-json", "body"),
        (b"[]", "not-an-object", "line"),
        (b"{}", "missing", "events"),
        (b'{"events": {}}', "not-texts", "events"),
        (b'{"events": [{}]}', "not-texts", "events"),
        (b'{"events": [], "mono_s": "1 km"}', "wrong-unit", "mono_s"),
        (b'{"events": [], "evenst": []}', "unknown-field", "evenst"),
        (b'{"events": ["{"]}', "not-json", "events[0]"),
        (b'{"events": ["[]"]}', "event-unreadable", "events[0].seq"),
        (b'{"events": ["{\\"seq\\": 0}"]}', "event-unreadable", "events[0].seq"),
        (b'{"events": ["{\\"seq\\": 9007199254740993}"]}', "event-unreadable", "events[0].seq"),
        (b'{"events": ["{\\"seq\\": 1, \\"device\\": \\"phone-0\\"}"]}', "device-other", "events[0].device"),
        (b'{"events": [], "jobs": ["3"]}', "not-an-object", "jobs[0]"),
    ],
)
def test_a_body_of_another_shape_is_refused_by_its_field(at: Exchange, body: bytes, code: str, field: str) -> None:
    phone = at.phone()
    answer = phone.request("POST", "/sync/batches", body).arrive(at.client)
    said = answer.get_json()["error"]
    assert (answer.status_code, said["code"], said["field"]) == (400, code, field)
    assert len(said["message"]) > 10
    assert kept_aside(at) == []


def test_a_body_that_is_too_large_is_refused(at: Exchange) -> None:
    phone = at.phone()
    for size in (2_000_001, 3_000_000):
        answer = phone.request("POST", "/sync/batches", b" " * size).arrive(at.client)
        assert (answer.status_code, answer.get_json()["error"]["code"]) == (413, "batch-too-large")
    many = phone.request("POST", "/sync/batches", {"events": ["{}"] * 501}).arrive(at.client)
    assert (many.status_code, many.get_json()["error"]["code"]) == (400, "too-many")


def test_a_request_without_its_phones_signature_is_refused(at: Exchange) -> None:
    job = at.job()
    phone, forger = at.phone(job), Phone()
    phone.keep(job, CONFIRMED)
    forger.device, forger.lines = phone.device, phone.lines
    sent = phone.batch()
    forged = [
        (forger.batch(), "signature-wrong"),
        (Phone().request("POST", "/sync/batches", sent.body), "not-signed"),
    ]
    for request, code in forged:
        answer = request.arrive(at.client)
        assert (answer.status_code, answer.get_json()["error"]["code"]) == (401, code)
    changed = at.client.post(sent.path, data=sent.body.replace(b"chock", b"shock"), headers=sent.headers)
    elsewhere = at.client.post("/sync/batches?x", data=sent.body, headers=sent.headers)
    without = at.client.post("/sync/batches", data=sent.body)
    unsaid = at.client.post("/sync/batches", data=sent.body, headers={"Authorization": "Basic abc"})
    assert [one.status_code for one in (changed, elsewhere, without, unsaid)] == [401] * 4
    assert len(at.events(job)) == 1
    assert phone.send(at.client)["highest"] == 1


def test_a_batch_cut_off_on_its_way_changes_nothing(at: Exchange) -> None:
    job = at.job()
    phone = at.phone(job)
    phone.keep(job, CONFIRMED)
    sent = phone.batch()
    for length in (0, 1, len(sent.body) // 2, len(sent.body) - 1):
        answer = at.client.post(sent.path, data=sent.body[:length], headers=sent.headers)
        assert answer.status_code == 401
    assert len(at.events(job)) == 1


def test_a_phone_that_is_not_paired_learns_so(at: Exchange) -> None:
    stranger = Phone()
    stranger.device = "phone-0123456789abcdef"
    answers = [
        stranger.request("POST", "/sync/batches", {"events": []}).arrive(at.client),
        stranger.request("GET", "/sync/jobs").arrive(at.client),
        stranger.request("GET", "/sync/shelf").arrive(at.client),
        stranger.request("POST", "/sync/digests", {"jobs": []}).arrive(at.client),
    ]
    assert {(one.status_code, one.get_json()["error"]["code"]) for one in answers} == {(401, "device-unknown")}


# --- single events


@pytest.mark.parametrize(
    ("changed", "code", "field"),
    [
        ({"job": "no-such-job"}, "job-unknown", "job"),
        ({"kind": "exploded"}, "event-kind", "kind"),
        ({"step": 7}, "event-type", "step"),
        ({"at": "2026-03-02"}, "event-type", "at"),
        ({"mono_s": None}, "event-type", "mono_s"),
        ({"turn": 2**63}, "event-data", "turn"),
        ({"round": -1}, "event-type", "round"),
        ({"colour": "red"}, "event-fields", "colour"),
        ({"data": {"held": "yes"}}, "event-data", "data.held"),
        ({"kind": "chosen", "data": {}}, "event-data", "data.option"),
        ({"kind": "measured", "data": {"readings": {"tyre": "240"}}}, "event-data", "data.readings"),
        ({"kind": "photographed", "data": {"sha256": "../../x", "media": "image/jpeg"}}, "event-data", "data.sha256"),
        ({"kind": "paused", "data": {"reason": "holiday"}}, "event-data", "data.reason"),
        ({"kind": "noted", "data": {"text": "\ud83d"}}, "event-text", "event"),
        ({"kind": "noted", "data": {"text": "a\x00b"}}, "event-text", "event"),
        ({"kind": "noted", "data": {"text": "x" * 64_001}}, "event-too-large", "event"),
    ],
)
def test_an_event_that_the_journal_cannot_take_is_kept_aside_with_why(
    at: Exchange, changed: Body, code: str, field: str
) -> None:
    job = at.job()
    phone = at.phone(job)
    phone.keep(job, CONFIRMED)
    phone.keep(job, Draft("noted", None, 1, 0, {"text": "before"}))
    entry = {**json.loads(phone.lines[1]), **changed}
    phone.lines[1] = json.dumps(entry)  # as a phone would write it that spells such characters out
    said = phone.send(at.client)
    assert refused(said) == (code, field)
    assert said["highest"] == 2  # it is on the server's disk, and what comes after it is taken
    (aside,) = kept_aside(at)
    assert (aside.line, aside.seq, aside.code) == (phone.lines[1], 1, code)
    assert [event.kind for event in at.events(job)] == ["started", "noted"]
    assert refused(phone.heard(phone.batch([1, 2]).arrive(at.client))) == (code, field)  # and so it stays


def test_an_event_from_the_future_is_kept_aside(at: Exchange) -> None:
    job = at.job()
    phone = at.phone(job)
    for hours in (23, 25):
        event = phone.keep(job, CONFIRMED)
        ahead = instant(datetime.now(UTC) + timedelta(hours=hours))
        phone.lines[event.seq] = written({**json.loads(phone.lines[event.seq]), "at": ahead})
    said = phone.send(at.client)
    assert refused(said) == ("at-ahead", "at")
    assert said["answers"][0]["status"] == "kept"


RESULT = {"method": "values", "verdict": "inside", "parts": []}
SCAN = {"text": "x", "via": "wedge", "verdict": "match", "target": None, "spot": None, "holding": None, "in_hand": None}


@pytest.mark.parametrize(
    ("kind", "step", "data"),
    [
        ("measured", "work/chock", {"readings": {}, "result": {}, "verdict": "inside"}),
        ("measured", "work/tyre", {"readings": {}, "result": RESULT | {"parts": [{}]}, "verdict": "inside"}),
        ("measured", "work/tyre", {"readings": {}, "result": RESULT | {"verdict": "fine"}, "verdict": "inside"}),
        ("scanned", "work/hang", SCAN | {"verdict": "no such", "next": {"do": "fly"}}),
        ("scanned", "work/hang", SCAN | {"next": {"do": "all-placed"}, "placed": {"target": None, "spot": None}}),
    ],
)
def test_an_event_that_no_page_could_show_stays_out_of_the_journal(
    at: Exchange, kind: str, step: str, data: dict[str, Any]
) -> None:
    job = at.job()
    phone = at.phone(job)
    phone.keep(job, Draft(kind, step, 1, 0, data))
    code, _field = refused(phone.send(at.client))
    assert code == "event-data"
    assert at.client.get(f"/jobs/{job}").status_code == 200
    assert len(at.events(job)) == 1


def test_what_comes_after_a_gap_is_refused_until_the_gap_is_filled(at: Exchange) -> None:
    job = at.job()
    phone = at.phone(job)
    for _ in range(4):
        phone.keep(job, CONFIRMED)
    said = phone.heard(phone.batch([1, 3, 4]).arrive(at.client))
    assert [(one["seq"], one["status"]) for one in said["answers"]] == [(1, "kept"), (3, "refused"), (4, "refused")]
    assert said["answers"][1]["error"]["code"] == "seq-gap"
    assert said["highest"] == 1
    assert [event.seq for event in at.events(job) if event.device == phone.device] == [1]
    assert phone.send(at.client)["highest"] == 4
    assert kept_aside(at) == []


def test_the_same_place_with_other_bytes_is_refused_loudly_and_kept_aside(at: Exchange) -> None:
    job = at.job()
    phone = at.phone(job)
    phone.keep(job, CONFIRMED)
    phone.send(at.client)
    first = phone.lines[1]
    phone.lines[1] = first.replace('"held":false', '"held":true')
    for _ in range(2):
        said = phone.heard(phone.batch([1]).arrive(at.client))
        assert refused(said) == ("seq-other-bytes", "seq")
    assert [aside.line for aside in kept_aside(at)] == [phone.lines[1]]
    assert at.events(job)[-1].data == {"held": False}
    phone.lines[1] = first
    assert phone.heard(phone.batch([1]).arrive(at.client))["answers"] == [{"seq": 1, "status": "known"}]


def test_one_batch_cannot_say_two_things_of_one_place(at: Exchange) -> None:
    job = at.job()
    phone = at.phone(job)
    phone.keep(job, CONFIRMED)
    other = phone.lines[1].replace('"held":false', '"held":true')
    answer = phone.request("POST", "/sync/batches", {"events": [phone.lines[1], other, phone.lines[1]]}).arrive(
        at.client
    )
    assert [one["status"] for one in answer.get_json()["answers"]] == ["kept", "aside", "known"]


def test_an_id_that_another_event_has_is_kept_aside(at: Exchange) -> None:
    job = at.job()
    phone = at.phone(job)
    phone.keep(job, CONFIRMED)
    phone.keep(job, CONFIRMED)
    phone.lines[2] = written({**json.loads(phone.lines[2]), "id": json.loads(phone.lines[1])["id"]})
    assert refused(phone.send(at.client)) == ("id-taken", "id")
    phone.keep(job, CONFIRMED, id=at.events(job)[0].id)
    assert refused(phone.send(at.client)) == ("id-taken", "id")


def test_an_event_cannot_go_behind_what_its_device_did_before(at: Exchange) -> None:
    job = at.job()
    phone = at.phone(job)
    phone.keep(job, CONFIRMED)
    phone.send(at.client)
    phone.keep(job, CONFIRMED, round=0)
    assert refused(phone.send(at.client)) == ("round-went-back", "round")


def test_a_phone_cannot_fill_the_disk_with_what_nobody_decides_about(
    at: Exchange, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(asides, "MOST_OPEN", 3)
    phone = at.phone()
    for number in range(5):
        body = {"id": new_id(number), "seq": number + 1, "device": phone.device}
        phone.lines[number + 1] = written(body)
    answer = phone.batch().arrive(at.client)
    assert (answer.status_code, answer.get_json()["error"]["code"]) == (409, "aside-full")
    assert kept_aside(at) == []
    assert phone.heard(phone.batch([1, 2, 3]).arrive(at.client))["highest"] == 3


def test_events_that_can_be_asked_for_are_told_by_number(at: Exchange) -> None:
    job = at.job()
    phone = at.phone(job)
    for after in ("x", "-1", "1" * 20, "²"):
        answer = phone.request("GET", f"/sync/jobs/{job}/events?after={after}").arrive(at.client)
        assert answer.status_code in (400, 401)
    assert phone.request("GET", "/sync/jobs/none/events").arrive(at.client).status_code == 404
    assert phone.request("GET", "/sync/jobs/none/packet").arrive(at.client).status_code == 404


@pytest.mark.parametrize(
    ("asked", "status", "code", "field", "said"),
    [
        ({"jobs": "job-1"}, 400, "not-texts", "jobs", "jobs='job-1' must be a list of texts"),
        ({"jobs": [7]}, 400, "not-texts", "jobs", "jobs=[7] must be a list of texts"),
        ({"jobs": ["x"] * 501}, 400, "too-many", "jobs", "jobs has 501 entries; at most 500 are compared at once"),
        ({"jobs": ["x" * 60_000]}, 413, "batch-too-large", "body", "body is larger than the 50000 bytes"),
        ({"job": []}, 400, "unknown-field", "job", "job is not known here: did you mean jobs?"),
        ({}, 400, "missing", "jobs", "jobs is missing"),
    ],
)
def test_what_cannot_be_compared_is_refused(
    at: Exchange, asked: dict[str, Any], status: int, code: str, field: str, said: str
) -> None:
    answer = at.phone().request("POST", "/sync/digests", asked).arrive(at.client)
    error = answer.get_json()["error"]
    assert (answer.status_code, error["code"], error["field"]) == (status, code, field)
    assert said in error["message"]
