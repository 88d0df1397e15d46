"""What a phone brings follows on what it brought before, or that is shown; older phones are not accused."""

import json
from typing import Any

from sqlmodel import select

from tests.cast import ADA
from webapp.core.chain import breaks, digest
from webapp.storage.devices import make_code
from webapp.storage.engine import session, writing
from webapp.storage.keys import as_jwk
from webapp.storage.phone_tables import Difference
from webapp.sync import moment

from .conftest import Exchange
from .phone import Body, written


def chain_told(at: Exchange) -> list[tuple[Any, Any]]:
    with session(at.engine) as db:
        found = db.exec(select(Difference).where(Difference.what == "chain")).all()
    return [(json.loads(one.phone), json.loads(one.server)) for one in found]


def differences(answer: Body) -> list[list[str]]:
    return [[one["what"] for one in said.get("differences", [])] for said in answer["answers"]]


def worked(at: Exchange, **about: Any) -> tuple[str, Any]:
    """A job, and a phone that has worked some of it and sent nothing."""
    job = at.job()
    phone = at.phone(job, **about)
    while len(phone.lines) < 6:
        phone.work(job)
    return job, phone


def changed(phone: Any, seq: int, **said: Any) -> None:
    """Somebody changes what lies on the phone."""
    phone.lines[seq] = written(json.loads(phone.lines[seq]) | said)


def test_a_phones_events_follow_on_one_another_over_batches_and_jobs(at: Exchange) -> None:
    job, phone = worked(at)
    other = at.job()
    phone.fetch(at.client, other)
    phone.work(other)
    phone.work(job)
    phone.send(at.client, seqs=[1, 2, 3])
    phone.send(at.client)
    assert chain_told(at) == []
    lines = [json.loads(line) for line in phone.lines.values()]
    assert [one.get("before") for one in lines] == [None, *map(digest, [*phone.lines.values()][:-1])]


def test_an_event_that_was_changed_before_it_was_sent_is_found_at_the_next_one(at: Exchange) -> None:
    job, phone = worked(at)
    right = digest(phone.lines[3])
    changed(phone, 3, at="2026-03-02T08:00:00.000Z")
    assert differences(phone.send(at.client, seqs=[1, 2, 3]))[2:] == [[]]
    answer = phone.send(at.client)
    assert "chain" in differences(answer)[0]
    assert [one for one in differences(answer)[1:] if "chain" in one] == []
    assert {one["status"] for one in answer["answers"]} == {"kept"}  # nothing is lost, and everybody sees it
    assert chain_told(at) == [(right, digest(phone.lines[3]))]
    page = at.client.get(f"/jobs/{job}").text
    assert "does not follow on what it recorded before" in page


def test_events_that_were_swapped_or_cut_on_the_phone_are_found(at: Exchange) -> None:
    _job, phone = worked(at)
    third, fourth = (json.loads(phone.lines[seq]) for seq in (3, 4))
    phone.lines[3] = written(fourth | {"seq": 3})
    phone.lines[4] = written(third | {"seq": 4})
    assert [one for one in differences(phone.send(at.client)) if "chain" in one] != []
    _job, other = worked(at, name="other")
    lines = list(other.lines.values())
    del lines[2]
    other.lines = {seq: written(json.loads(line) | {"seq": seq}) for seq, line in enumerate(lines, 1)}
    found = differences(other.send(at.client))
    assert "chain" in found[2]


def test_a_chain_that_is_left_off_is_found(at: Exchange) -> None:
    _job, phone = worked(at)
    phone.send(at.client, seqs=[1, 2, 3])
    entry = json.loads(phone.lines[4])
    stood = entry.pop("before")
    phone.lines[4] = written(entry)
    assert "chain" in differences(phone.send(at.client, seqs=[4]))[0]
    assert chain_told(at) == [(None, stood)]


def test_a_phone_of_an_older_version_is_not_accused_and_goes_on_in_the_chain(at: Exchange) -> None:
    job, phone = worked(at, chains=False)
    phone.send(at.client, seqs=[1, 2])
    phone.chains = True
    while len(phone.lines) < 9:
        phone.work(job)
    phone.send(at.client)
    assert chain_told(at) == []
    told = [json.loads(line).get("before") for line in phone.lines.values()]
    assert told[:6] == [None] * 6
    assert None not in told[6:]


def test_a_phone_that_is_paired_anew_is_told_where_its_chain_ends(at: Exchange) -> None:
    _job, phone = worked(at)
    phone.send(at.client)
    with writing(at.engine) as db:
        code = make_code(db, ADA.badge, moment.now())
    body = {"code": code, "key": as_jwk(phone.key.public_key()), "name": "again", "device": phone.device}
    said = at.client.post("/sync/pair", json=body).json
    assert (said["highest"], said["head"]) == (6, digest(phone.lines[6]))
    assert at.client.post("/sync/pair", json=body).status_code == 403


def test_the_shops_own_events_follow_on_one_another(at: Exchange) -> None:
    job = at.job()
    for number in range(3):
        answer = at.client.post(f"/jobs/{job}", data={"do": "note", "text": f"Seen {number}"})
        assert answer.status_code == 303, answer.text
    events = [one for one in at.events(job) if one.kind == "noted"]
    assert list(breaks((one, digest(one.as_json())) for one in at.events(job))) == []
    assert [one.before for one in events[1:]] == [digest(one.as_json()) for one in events[:-1]]
    first = at.events(job)[0]
    assert (events[0].before == digest(first.as_json())) is (events[0].device == first.device)
