"""A batch: what is kept, what is known already, and what both sides hold in the end."""

import json
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack
from random import Random

from tests.sync.conftest import Exchange
from tests.sync.phone import Phone
from webapp.core.act import Draft
from webapp.sync import turns


def test_what_a_phone_did_alone_is_kept_and_acknowledged(at: Exchange) -> None:
    job = at.job()
    phone = at.phone(job)
    while phone.state(job).phase == "open" and len(phone.lines) < 80:
        phone.work(job)
    said = phone.send(at.client)
    assert [answer["status"] for answer in said["answers"]] == ["kept"] * len(phone.lines)
    assert said["highest"] == len(phone.lines)
    assert not [answer for answer in said["answers"] if "differences" in answer]
    assert at.state(job) == phone.state(job) == at.remembered(job)
    assert said["digests"][job]["digest"] == phone.digest(job) == at.digest(job)


def test_a_batch_that_comes_twice_is_there_once(at: Exchange) -> None:
    job = at.job()
    phone = at.phone(job)
    for _ in range(6):
        phone.work(job)
    sent = phone.batch()
    first, second = sent.arrive(at.client), sent.arrive(at.client)
    assert {answer["status"] for answer in first.get_json()["answers"]} == {"kept"}
    assert {answer["status"] for answer in second.get_json()["answers"]} == {"known"}
    assert second.get_json()["highest"] == first.get_json()["highest"] == len(phone.lines)
    assert len(at.events(job)) == len(phone.lines) + 1


def test_the_server_goes_on_behind_what_a_phone_brought(at: Exchange) -> None:
    job = at.job()
    phone = at.phone(job)
    phone.tap(job, do="confirm")
    phone.send(at.client)
    later = at.tap(job, Draft("noted", None, 1, 0, {"text": "Seen."}))
    assert later.place > max(event.place for event in phone.events(job))
    phone.pull(at.client, job)
    assert phone.digest(job) == at.digest(job)
    assert phone.state(job) == at.state(job)


def test_the_server_measures_how_far_a_phones_clock_is_off(at: Exchange) -> None:
    job = at.job()
    phone = at.phone(job, ahead_s=3600.0)
    phone.tap(job, do="confirm")
    said = phone.send(at.client)
    assert abs(said["offset_s"] + 3600) < 60
    assert json.loads(phone.lines[1])["at"] == at.events(job)[-1].at


def test_a_phone_that_comes_when_too_many_wait_is_sent_away_at_once(at: Exchange) -> None:
    job = at.job()
    phone = at.phone(job)
    phone.keep(job, Draft("confirmed", "work/chock", 1, 0, {"held": False}))
    with ExitStack() as others:
        for _ in range(turns.PLACES):
            assert turns._places.acquire(blocking=False)
            others.callback(turns._places.release)
        answer = phone.batch().arrive(at.client)
    assert (answer.status_code, answer.get_json()["error"]["code"]) == (503, "sync-busy")
    assert answer.headers["Retry-After"] == "1"
    assert phone.send(at.client)["highest"] == 1


def test_many_phones_come_home_at_once(at: Exchange) -> None:
    job = at.job()
    phones = [at.phone(job, name=str(number), dice=Random(number)) for number in range(8)]
    for phone in phones:
        while len(phone.lines) < 12:
            phone.work(job)

    def bring(phone: Phone) -> None:
        phone.send(at.client.application.test_client())

    with ThreadPoolExecutor(len(phones)) as together:
        list(together.map(bring, phones))
    for phone in phones:
        assert phone.pull(at.client, job)["digest"] == phone.digest(job)
        assert phone.state(job) == at.state(job) == at.remembered(job)
