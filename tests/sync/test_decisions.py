"""The server decides again what a phone decided; where it comes out otherwise, that stands beside the event."""

import json
from typing import Any

import pytest

from tests.cast import ILYA, NOOR
from tests.sync.conftest import Exchange
from tests.sync.phone import LABELS, Phone, written
from webapp.core.act import Draft
from webapp.storage import differences
from webapp.storage.differences import Shown
from webapp.storage.engine import session, writing
from webapp.storage.kit import item_of


def shown(at: Exchange, job: str) -> list[Shown]:
    with session(at.engine) as db:
        return differences.differences_of(db, job)


def told(at: Exchange, job: str) -> list[tuple[str, Any, Any]]:
    return [(one.what, one.phone, one.server) for one in shown(at, job)]


def at_step(at: Exchange, *taps: dict[str, str], **about: Any) -> tuple[str, Phone]:
    """A phone that has done these taps on a job, and sent them."""
    job = at.job()
    phone = at.phone(job, **about)
    for form in taps:
        assert phone.tap(job, **form), form
    phone.send(at.client)
    assert told(at, job) == []
    return job, phone


TO_SCAN = ({"do": "confirm"}, {"do": "choose", "option": "tape"})
TO_TYRE = (*TO_SCAN, *({"do": "scan", "text": text, "via": "wedge"} for text in LABELS))


def altered(phone: Phone, job: str, at: Exchange, form: dict[str, str], **data: Any) -> list[tuple[str, Any, Any]]:
    """What the server tells of a tap that the phone has written down otherwise than it should."""
    assert phone.tap(job, **form)
    last = max(phone.lines)
    entry = json.loads(phone.lines[last])
    entry["data"] |= data
    phone.lines[last] = written(entry)
    phone.send(at.client)
    return told(at, job)


def test_a_verdict_that_the_scan_does_not_bear_out_is_told(at: Exchange) -> None:
    job, phone = at_step(at, *TO_SCAN)
    found = altered(phone, job, at, {"do": "scan", "text": LABELS[1], "via": "wedge"}, verdict="wrong-target")
    assert found == [("verdict", "wrong-target", "match")]


def test_a_reading_is_judged_again_to_its_last_figure(at: Exchange) -> None:
    job, phone = at_step(at, *TO_TYRE)
    assert phone.tap(job, do="measure", tyre="240")
    last = max(phone.lines)
    entry = json.loads(phone.lines[last])
    entry["data"]["result"]["parts"][0]["p_inside"] -= 1e-7
    phone.lines[last] = written(entry)
    phone.send(at.client)
    ((what, was, now),) = told(at, job)
    assert what == "result.parts[0].p_inside"
    assert now - was == pytest.approx(1e-7)


def test_rounding_in_the_last_digits_is_no_difference(at: Exchange) -> None:
    job, phone = at_step(at, *TO_TYRE)
    assert phone.tap(job, do="measure", tyre="240")
    last = max(phone.lines)
    entry = json.loads(phone.lines[last])
    entry["data"]["result"]["parts"][0]["p_inside"] *= 1 - 1e-12
    phone.lines[last] = written(entry)
    phone.send(at.client)
    assert told(at, job) == []


def test_a_verdict_of_inside_for_what_lies_outside_is_told(at: Exchange) -> None:
    job, phone = at_step(at, *TO_TYRE)
    found = altered(phone, job, at, {"do": "measure", "tyre": "260"}, verdict="inside", held=False)
    assert found == [("verdict", "inside", "outside")]


def test_a_countdown_that_was_not_over_is_told(at: Exchange) -> None:
    job, phone = at_step(at, *TO_TYRE, {"do": "measure", "tyre": "240"}, {"do": "photo", "sha256": "a" * 64})
    assert phone.tap(job, do="start-wait")
    state = phone.state(job)
    phone.keep(job, Draft("waited", "work/settle", 1, state.step("work/settle").turn, {"held": False}))
    phone.send(at.client)
    ((what, kind, message),) = told(at, job)
    assert (what, kind) == ("wait-not-over", "waited")
    assert "are left" in message


def test_a_result_at_a_step_that_asks_for_none_is_told(at: Exchange) -> None:
    job, phone = at_step(at)
    data = {"outcome": "done", "code": "", "text": "", "reason": "", "held": False}
    phone.keep(job, Draft("resulted", "work/chock", 1, 0, data))
    phone.send(at.client)
    assert [what for what, _, _ in told(at, job)] == ["do-not-here"]


def test_a_badge_of_nobody_is_told(at: Exchange) -> None:
    job, phone = at_step(at)
    phone.keep(job, Draft("confirmed", "work/chock", 1, 0, {"held": False}), person="NOBODY")
    phone.send(at.client)
    assert told(at, job) == [("person", "NOBODY", None)]


def test_a_kit_that_was_damaged_meanwhile_is_told(at: Exchange) -> None:
    job, phone = at_step(at, *TO_SCAN)
    with writing(at.engine) as db:
        item = item_of(db, "L1")
        item.condition = "damaged"
        db.add(item)
    assert phone.tap(job, do="scan", text=LABELS[0], via="wedge")
    phone.send(at.client)
    assert [(what, was, now) for what, was, now in told(at, job) if what == "verdict"] == [
        ("verdict", "match", "out-of-service")
    ]


def test_what_two_phones_did_apart_is_not_judged_by_what_neither_could_know(at: Exchange) -> None:
    job = at.job()
    one, other = at.phone(job), at.phone(job, person=ILYA)
    for phone in (one, other):
        assert phone.tap(job, do="confirm")
        assert phone.tap(job, do="choose", option="tape" if phone is one else "laser")
    for phone in (other, one):
        assert not [answer for answer in phone.send(at.client)["answers"] if "differences" in answer]
    crossed = [(one.what, one.event.step, one.event.device, one.other and one.other.device) for one in shown(at, job)]
    first, second = sorted((one.device, other.device))
    assert crossed == [
        ("same-step", "work/chock", second, first),
        ("same-step", "work/placing", second, first),
    ]
    assert at.state(job).answers == {"placing": "tape" if second == one.device else "laser"}


def test_what_goes_on_after_the_end_is_told(at: Exchange) -> None:
    job = at.job()
    one, other = at.phone(job), at.phone(job)
    one.keep(job, Draft("abandoned", None, 1, 0, {"reason": "Customer took it."}))
    first, second = sorted((one, other), key=lambda phone: phone.device)
    if first is other:
        one, other = other, one
        one.lines, other.lines = {}, {}
        one.keep(job, Draft("abandoned", None, 1, 0, {"reason": "Customer took it."}))
    other.tap(job, do="confirm")
    other.send(at.client)
    one.send(at.client)
    assert [(found.what, found.event.device) for found in shown(at, job)] == [("job-ended", second.device)]
    assert at.client.get(f"/jobs/{job}").status_code == 200


def test_a_decision_at_the_servers_own_pages_needs_no_second_look(at: Exchange) -> None:
    job = at.job()
    at.tap(job, Draft("confirmed", "work/chock", 1, 0, {"held": False}))
    assert shown(at, job) == []
    assert NOOR.role == "technician"
