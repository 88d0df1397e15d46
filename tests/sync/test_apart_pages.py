"""Whoever opens a job sees where two phones crossed and where the server decided otherwise: on the job's page, on its
record, and on Today.
"""

import re

from tests.cast import ILYA, NOOR, scan_badge
from tests.sync.conftest import Exchange
from tests.sync.test_decisions import LABELS, TO_SCAN, at_step
from webapp.core.act import Draft
from webapp.storage.engine import writing
from webapp.storage.kit import item_of
from webapp.web import moment

TO_LOOK_AT = "something to look at"


def details(page: str) -> str:
    """What the line opens that stands on a job's page; empty where there is none."""
    return "".join(re.findall(r'<details class="apart">.*?</details>', page, re.DOTALL))


def section(page: str) -> str:
    return "".join(re.findall(r'<section id="apart">.*?</section>', page, re.DOTALL))


def crossed(at: Exchange) -> str:
    """A job at which two phones answered the same question without knowing of each other."""
    job = at.job()
    phones = at.phone(job, person=NOOR), at.phone(job, person=ILYA)
    for phone, option in zip(phones, ("tape", "laser"), strict=True):
        assert phone.tap(job, do="confirm")
        assert phone.tap(job, do="choose", option=option)
    for phone in phones:
        phone.send(at.client)
    return job


def differing(at: Exchange) -> str:
    """A job at which a phone took a target for good that was damaged meanwhile."""
    job, phone = at_step(at, *TO_SCAN)
    with writing(at.engine) as db:
        item = item_of(db, "L1")
        item.condition = "damaged"
        db.add(item)
    assert phone.tap(job, do="scan", text=LABELS[0], via="wedge")
    phone.send(at.client)
    return job


def test_two_phones_at_one_step_are_shown_with_both_values_who_and_when(at: Exchange) -> None:
    job = crossed(at)
    answers = [event for event in at.events(job) if event.kind == "chosen"]
    page, record = at.client.get(f"/jobs/{job}").text, at.client.get(f"/jobs/{job}/record").text
    for shown in (details(page), section(record)):
        assert NOOR.name in shown
        assert ILYA.name in shown
        assert len(set(re.findall("answered: ([^<]+)<", shown))) == 2
    for event in answers:
        assert f"{moment.local(event.at):%Y-%m-%d %H:%M}" in section(record)
    for panel in ("steps", "more"):
        assert details(at.client.get(f"/jobs/{job}/{panel}").text)


def test_a_decision_that_the_server_makes_otherwise_is_shown_with_both_sides(at: Exchange) -> None:
    job = differing(at)
    for shown in (
        details(at.client.get(f"/jobs/{job}").text),
        section(at.client.get(f"/jobs/{job}/record").text),
    ):
        assert "match" in shown
        assert "out-of-service" in shown
    assert at.client.get("/").text.count(TO_LOOK_AT) == 1


def test_after_a_tap_it_is_still_told(at: Exchange) -> None:
    job = crossed(at)
    scan_badge(at.client, NOOR)
    form = {"do": "note", "text": "Seen."}
    answer = at.client.post(f"/jobs/{job}", data=form, headers={"HX-Request": "true"})
    assert answer.status_code == 200
    assert details(answer.text)


def test_a_job_that_all_agree_about_shows_nothing(at: Exchange) -> None:
    job = at.job()
    at.tap(job, Draft("confirmed", "work/chock", 1, 0, {"held": False}))
    phone = at.phone(job)
    assert phone.work(job)
    phone.send(at.client)
    assert not details(at.client.get(f"/jobs/{job}").text)
    assert not section(at.client.get(f"/jobs/{job}/record").text)
    assert TO_LOOK_AT not in at.client.get("/").text
