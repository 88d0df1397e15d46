"""Who works with a paired phone: the PIN sealed there, checked here, and what stands beside work under a wrong one."""

from typing import Any

from sqlalchemy.engine import Engine
from sqlmodel import select

from tests.cast import ADA, ILYA, NOOR, Someone, scan_badge
from tests.sheets import every_kind
from webapp.core.act import Draft
from webapp.core.events import new_id
from webapp.core.vouched import unproven
from webapp.storage.devices import revoke
from webapp.storage.differences import differences_of
from webapp.storage.engine import session, writing
from webapp.storage.phone_tables import SignIn

from .conftest import Exchange
from .phone import Phone
from .test_pins import seal

AT = "2026-03-02T08:00:00.000Z"


def sign_in(at: Exchange, phone: Phone, person: Someone, pin: str, seq: int = 1, **more: Any) -> dict[str, Any]:
    name = new_id(seq)
    return {"id": name, "person": person.badge, "at": AT, "seq": seq, "seal": seal(at, phone, pin, name), **more}


def told(at: Exchange, phone: Phone, *sign_ins: dict[str, Any], **more: Any) -> dict[str, Any]:
    answer = phone.request("POST", "/sync/sign-ins", {"sign_ins": list(sign_ins), **more}).arrive(at.client)
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.get_json()
    return found


def kept(at: Exchange) -> list[SignIn]:
    with session(at.engine) as db:
        return list(db.exec(select(SignIn)))


def here(at: Exchange) -> str | None:
    person = at.client.get("/phone/who").get_json()["person"]
    return person and person["name"]


def beside(at: Exchange, phone: Phone, job: str) -> list[str]:
    """What is told to phones beside the job's events, which are all there."""
    said = phone.ask(at.client, f"/sync/jobs/{job}/events?after=0")
    assert len(said["events"]) == len(at.events(job))
    return [one["what"] for one in said["differences"]]


def test_the_right_pin_begins_and_the_browsers_own_pages_follow(at: Exchange) -> None:
    phone = at.phone(person=NOOR)
    began = sign_in(at, phone, NOOR, NOOR.pin)
    said = told(at, phone, began, at_work=began["id"])
    assert said["answers"] == [{"id": began["id"], "right": True}]
    assert here(at) == NOOR.name
    assert told(at, phone, began, at_work=began["id"]) == said  # sent again, since the answer was lost
    assert len(kept(at)) == 1
    told(at, phone, at_work=None)
    assert here(at) is None


def test_a_wrong_pin_under_which_nothing_was_done_is_told_and_leaves_nothing(at: Exchange) -> None:
    phone = at.phone(person=NOOR)
    began = sign_in(at, phone, NOOR, "0000")
    (answer,) = told(at, phone, began, at_work=began["id"])["answers"]
    assert (answer["right"], answer["error"]["code"]) == (False, "pin-wrong")
    assert kept(at) == []
    assert here(at) is None


def test_a_pin_that_cannot_be_looked_at_now_is_neither_right_nor_wrong(at: Exchange, impatient: Engine) -> None:
    phone = at.phone(person=NOOR)
    began = sign_in(at, phone, NOOR, NOOR.pin)
    used = at.client.application.extensions
    used["engine"] = impatient
    with writing(at.engine):
        answer = phone.request("POST", "/sync/sign-ins", {"sign_ins": [began]}).arrive(at.client)
    used["engine"] = at.engine
    assert (answer.status_code, answer.get_json()["error"]["code"]) == (503, "database-locked")
    assert told(at, phone, began)["answers"] == [{"id": began["id"], "right": True}]


def test_what_was_worked_under_a_wrong_pin_says_so_and_nothing_else_does(at: Exchange) -> None:
    before, under, after = at.job(), at.job(), at.job()
    phone = at.phone(before, person=NOOR)
    for job in (under, after):
        phone.fetch(at.client, job)
    assert phone.tap(before, do="confirm")
    assert phone.tap(under, do="confirm")
    assert phone.tap(after, do="confirm")
    right = [sign_in(at, phone, NOOR, NOOR.pin, 1), sign_in(at, phone, NOOR, NOOR.pin, 3)]
    wrong = sign_in(at, phone, NOOR, "0000", 2, begun=True)
    said = told(at, phone, right[0], wrong, right[1], at_work=wrong["id"])
    assert [one["right"] for one in said["answers"]] == [True, False, True]
    assert here(at) is None
    phone.send(at.client)
    assert [beside(at, phone, job) for job in (before, under, after)] == [[], ["sign-in"], []]
    assert "Begun with a wrong PIN" in at.client.get(f"/jobs/{under}").text


def test_it_is_told_once_beside_work_that_came_before_the_pin_did(at: Exchange) -> None:
    job = at.job()
    phone = at.phone(job, person=NOOR)
    phone.tap(job, do="confirm")
    phone.send(at.client)
    wrong = sign_in(at, phone, NOOR, "0000", begun=True)
    told(at, phone, wrong)
    told(at, phone, wrong)
    assert beside(at, phone, job) == ["sign-in"]


def test_a_seal_of_another_beginning_is_no_pin(at: Exchange) -> None:
    phone = at.phone(person=NOOR)
    borrowed = sign_in(at, phone, NOOR, NOOR.pin) | {"id": new_id(7)}
    (answer,) = told(at, phone, borrowed)["answers"]
    assert (answer["right"], answer["error"]["code"]) == (False, "seal-unreadable")


def test_what_may_not_be_tried_now_stays_open_and_other_phones_are_not_held_up(at: Exchange) -> None:
    phone, other = at.phone(person=ADA), at.phone(person=ADA)
    for seq in range(1, 6):
        told(at, phone, sign_in(at, phone, ADA, "0000", seq))
    (now,) = told(at, phone, sign_in(at, phone, ADA, ADA.pin, 7))["answers"]
    assert now["error"]["code"] == "pin-rests"
    (later,) = told(at, phone, sign_in(at, phone, ADA, ADA.pin, 8, begun=True))["answers"]
    assert later == {"id": later["id"], "right": None}
    (elsewhere,) = told(at, other, sign_in(at, other, ADA, ADA.pin))["answers"]
    assert elsewhere["right"] is True


def test_a_phone_that_was_turned_away_lets_nobody_begin_and_ends_what_was_begun(at: Exchange) -> None:
    phone = at.phone(person=NOOR)
    began = sign_in(at, phone, NOOR, NOOR.pin)
    told(at, phone, began, at_work=began["id"])
    body = {"sign_ins": [sign_in(at, phone, NOOR, NOOR.pin, 2)]}
    with writing(at.engine) as db:
        revoke(db, phone.device, ADA.badge, AT)
    assert here(at) is None
    answer = phone.request("POST", "/sync/sign-ins", body).arrive(at.client)
    assert (answer.status_code, answer.get_json()["error"]["code"]) == (403, "device-revoked")


def test_a_phone_takes_over_who_had_begun_in_its_browser_with_a_pin(at: Exchange) -> None:
    phone = at.phone(person=ILYA)
    taken = {"id": new_id(1), "seq": 1, "at": AT}
    assert told(at, phone, take=taken)["person"] is None
    with at.client.session_transaction() as cookie:
        cookie["person"] = ILYA.badge  # a badge alone, without a PIN
    assert told(at, phone, take=taken)["person"] is None
    scan_badge(at.client, ILYA)
    person = told(at, phone, take=taken)["person"]
    assert (person["code"], person["name"]) == (ILYA.badge, ILYA.name)
    assert [(one.person, one.right) for one in kept(at)] == [(ILYA.badge, True)]


def test_a_body_that_is_none_is_refused_by_name(at: Exchange) -> None:
    phone = at.phone(person=NOOR)
    began = sign_in(at, phone, NOOR, NOOR.pin)
    for wrong, field in (
        ({"at": "noon"}, "sign_ins[0]"),
        ({"seq": 0}, "sign_ins[0].seq"),
        ({"person": ""}, "sign_ins[0]"),
    ):
        answer = phone.request("POST", "/sync/sign-ins", {"sign_ins": [began | wrong]}).arrive(at.client)
        assert (answer.status_code, answer.get_json()["error"]["field"]) == (400, field)


def held_and_accepted(at: Exchange, *, begun: bool) -> tuple[Phone, str]:
    """An apprentice's step, accepted on a supervisor's own phone with the network cut."""
    sheet = every_kind()
    sheet["steps"][0] = sheet["steps"][0] | {"hold": "apprentice"}
    job = at.job(sheet)
    learner = at.phone(job, person=ILYA)
    assert learner.tap(job, do="confirm")
    learner.send(at.client)
    phone = at.phone(job, person=ADA)
    assert phone.tap(job, do="countersign")
    if begun:
        told(at, phone, sign_in(at, phone, ADA, ADA.pin, begun=True))
    phone.send(at.client)
    return phone, job


def test_a_countersign_on_the_own_phone_counts_where_it_was_begun_with_the_pin(at: Exchange) -> None:
    phone, job = held_and_accepted(at, begun=True)
    assert at.state(job).step("work/chock").countersigned_by == ADA.badge
    assert beside(at, phone, job) == []


def test_a_countersign_on_a_phone_that_was_not_begun_so_stands_beside_it_and_keeps_the_job_open(at: Exchange) -> None:
    phone, job = held_and_accepted(at, begun=False)
    assert beside(at, phone, job) == ["pin"]
    with session(at.engine) as db:
        found = differences_of(db, job)
    assert unproven(at.state(job), found) == ("work/chock",)
    undone = at.state(job)
    at.tap(job, Draft("undone", "work/chock", 1, 2, {"steps": ["work/chock"], "reason": "anew"}))
    assert unproven(undone, found) == ("work/chock",)
    assert unproven(at.state(job), found) == ()
