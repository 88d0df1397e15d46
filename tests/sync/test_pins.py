"""A countersign given offline is provisional until the server has checked the PIN, which only the server can read."""

import base64
import json
import os
from typing import Any

import pytest
from cryptography.hazmat.primitives.asymmetric.ec import ECDH, SECP256R1, generate_private_key
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.kdf.hkdf import HKDF
from sqlalchemy.engine import Engine

from tests.cast import ADA, ILYA
from tests.sheets import every_kind
from tests.sync.conftest import Exchange
from tests.sync.phone import Phone
from tests.sync.test_asides import decide, journal_file, read_in
from tests.sync.test_decisions import told
from tests.sync.test_offline_jobs import begun, planned
from tests.sync.test_pairing import revoke
from webapp.core.act import Draft
from webapp.core.errors import Unavailable
from webapp.core.events import new_id
from webapp.core.procedure import Library
from webapp.storage.engine import session, writing
from webapp.storage.keys import as_jwk, encoded, public_key
from webapp.sync import moment
from webapp.sync.batch import read_batch
from webapp.sync.pins import wrong_pins

EVENT = new_id(77)


def seal(at: Exchange, phone: Phone, pin: str, event: str = EVENT) -> dict[str, Any]:
    """As a phone does it, with the public key from its shelf."""
    theirs = public_key(phone.ask(at.client, "/sync/shelf")["sealing_key"])
    once, iv = generate_private_key(SECP256R1()), os.urandom(12)
    secret = HKDF(SHA256(), 32, None, b"baybook pin").derive(once.exchange(ECDH(), theirs))
    box = AESGCM(secret).encrypt(iv, pin.encode(), event.encode())
    return {"key": as_jwk(once.public_key()), "iv": encoded(iv), "box": encoded(box)}


def countersigned(at: Exchange, **seal_or_by: Any) -> tuple[Phone, str]:
    """An apprentice's step that ADA has countersigned offline."""
    sheet = every_kind()
    sheet["steps"][0] = sheet["steps"][0] | {"hold": "apprentice"}
    job = at.job(sheet)
    phone = at.phone(job, person=ILYA)
    assert phone.tap(job, do="confirm")
    turn = phone.state(job).step("work/chock").turn
    seal_or_by.setdefault("by", ADA.badge)
    phone.keep(job, Draft("countersigned", "work/chock", 1, turn, seal_or_by), id=EVENT)
    return phone, job


def test_the_right_pin_confirms_the_countersign(at: Exchange) -> None:
    phone, job = countersigned(at, seal=seal(at, at.phone(), "2468"))
    said = phone.send(at.client)
    assert [one["status"] for one in said["answers"]] == ["kept", "kept"]
    assert told(at, job) == []
    assert at.state(job).step("work/chock").countersigned_by == ADA.badge


@pytest.mark.parametrize(
    ("pin", "event", "why"),
    [("1111", EVENT, "wrong PIN"), ("2468", "another event", "seal does not open")],
    ids=["a wrong PIN", "a borrowed seal"],  # an event's own id is another one in every process
)
def test_a_wrong_pin_or_a_borrowed_seal_stands_beside_the_event(at: Exchange, pin: str, event: str, why: str) -> None:
    phone, job = countersigned(at, seal=seal(at, at.phone(), pin, event))
    answer = phone.send(at.client)["answers"][1]
    ((what, by, told_why),) = told(at, job)
    assert (what, by) == ("pin", ADA.badge)
    assert told_why.startswith(why)
    assert answer["differences"] == [{"what": "pin", "phone": ADA.badge, "server": told_why}]


@pytest.mark.parametrize(
    "given",
    [
        {},
        {"seal": "2468"},
        {"seal": {}},
        {"seal": {"key": as_jwk(Phone().key.public_key()), "iv": "AA", "box": ""}},
        {"seal": {"key": as_jwk(Phone().key.public_key()), "iv": "A" * 16, "box": "A" * 40}},
    ],
)
def test_a_countersign_without_a_readable_pin_is_told(at: Exchange, given: dict[str, Any]) -> None:
    phone, job = countersigned(at, **given)
    phone.send(at.client)
    assert [(what, by) for what, by, _why in told(at, job)] == [("pin", ADA.badge)]


def test_whoever_vouches_for_themselves_is_told(at: Exchange) -> None:
    phone, job = countersigned(at, by=ILYA.badge)
    phone.send(at.client)
    assert {what for what, _, _ in told(at, job)} == {"pin", "witness-role"}


def test_the_shop_has_one_sealing_key_that_nobody_else_can_read(at: Exchange) -> None:
    phone = at.phone()
    first, second = (phone.ask(at.client, "/sync/shelf")["sealing_key"] for _ in range(2))
    path = at.settings.data / "sealing-key.pem"
    assert first == second
    assert path.stat().st_mode & 0o077 == 0
    assert base64.urlsafe_b64decode(first["x"] + "=") not in path.read_bytes()
    assert list(at.settings.data.glob(".sealing-*")) == []


def test_a_pin_that_cannot_be_looked_at_now_is_not_a_wrong_one(at: Exchange, impatient: Engine) -> None:
    phone, job = countersigned(at, seal=seal(at, at.phone(), "2468"))
    batch = read_batch(phone.batch().body, phone.device)
    with writing(at.engine), session(impatient) as db, pytest.raises(Unavailable) as refused:
        wrong_pins(db, batch, at.settings.data, moment.now())
    assert refused.value.code == "database-locked"
    phone.send(at.client)
    assert told(at, job) == []


PINS = pytest.mark.parametrize(("pin", "wrong"), [("2468", False), ("1111", True)], ids=["right", "wrong"])


def assert_told(at: Exchange, job: str, wrong: bool) -> None:
    """Whatever the way by which the countersign came in."""
    (by,) = [one for one in at.events(job) if one.kind == "countersigned"]
    assert by.data["by"] == ADA.badge
    pins = [one for one in told(at, job) if one[0] == "pin"]
    assert pins == ([("pin", ADA.badge, "wrong PIN")] if wrong else [])


@PINS
def test_what_a_phone_brings_that_was_turned_away_has_its_pin_checked_when_it_comes_in(
    at: Exchange, pin: str, wrong: bool
) -> None:
    phone, job = countersigned(at, seal=seal(at, at.phone(), pin))
    revoke(at, phone)
    phone.batch().arrive(at.client)
    at.as_manager()
    assert decide(at, "bring-in").status_code == 200
    assert_told(at, job, wrong)


@PINS
def test_a_file_that_is_brought_in_has_its_pins_checked(at: Exchange, pin: str, wrong: bool) -> None:
    phone, job = countersigned(at, seal=seal(at, at.phone(), pin))
    at.as_manager()
    for statuses in (["kept", "kept"], ["known", "known"]):
        (taken,) = read_in(at, journal_file(phone)).get_json()["batches"]
        assert [one["status"] for one in taken["answers"]] == statuses
        assert_told(at, job, wrong)


@PINS
def test_a_countersign_that_has_lost_its_place_keeps_what_its_pin_came_to(at: Exchange, pin: str, wrong: bool) -> None:
    phone, job = countersigned(at, seal=seal(at, at.phone(), pin))
    signed = phone.lines.pop(2)
    phone.keep(job, Draft("noted", None, 1, 0, {"text": "In between."}), seq=2)
    phone.send(at.client)
    phone.lines[2] = signed
    phone.batch([2]).arrive(at.client)
    at.as_manager()
    assert decide(at, "bring-in").status_code == 200
    (brought,) = [one for one in at.events(job) if one.kind == "countersigned"]
    assert (brought.device, brought.id != EVENT) == ("brought-in", True)
    assert_told(at, job, wrong)


@PINS
def test_a_countersign_that_waited_for_its_jobs_facts_has_its_pin_checked_when_it_comes_in(
    at: Exchange, library: Library, pin: str, wrong: bool
) -> None:
    facts, sheet = planned(library)
    phone, job = begun(at, facts, sheet), facts["job"]["id"]
    step = phone.state(job).current
    given = {"by": ADA.badge, "seal": seal(at, at.phone(), pin)}
    phone.keep(job, Draft("countersigned", step, 1, 0, given), id=EVENT)
    assert {one["error"]["code"] for one in phone.send(at.client)["answers"]} == {"job-unknown"}
    phone.send(at.client, jobs=[json.dumps(facts)])
    assert_told(at, job, wrong)
