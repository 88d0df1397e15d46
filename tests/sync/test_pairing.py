"""Who may take part: a phone with a code that a person has made, until it is turned away."""

import pytest

from tests.cast import ADA, TOMAS
from tests.sync.conftest import Exchange
from tests.sync.phone import Phone
from tests.sync.test_bad_input import CONFIRMED, kept_aside
from webapp import address
from webapp.core.errors import NotFound
from webapp.storage import devices
from webapp.storage.engine import session, writing
from webapp.storage.keys import as_jwk
from webapp.storage.moments import later
from webapp.storage.phone_tables import Pairing
from webapp.sync import moment


def code_for(at: Exchange, now: str | None = None) -> str:
    with writing(at.engine) as db:
        return devices.make_code(db, ADA.badge, now or moment.now())


def revoke(at: Exchange, phone: Phone) -> None:
    with writing(at.engine) as db:
        devices.revoke(db, phone.device, TOMAS.badge, moment.now())


def test_a_code_lets_one_phone_in_and_is_kept_only_as_a_hash(at: Exchange) -> None:
    code, phone = code_for(at), Phone(name="  Bay 1  ")
    with session(at.engine) as db:
        assert code not in str(db.get(Pairing, devices._hash(code)))
    phone.pair(at.client, code.lower())
    with session(at.engine) as db:
        device = devices.device_of(db, phone.device)
    assert (device.name, device.paired_by, device.highest) == ("Bay 1", ADA.badge, 0)
    again = at.client.post("/sync/pair", json={"code": code, "key": as_jwk(Phone().key.public_key()), "name": "x"})
    assert (again.status_code, again.get_json()["error"]["code"]) == (403, "pairing-code")


def test_a_code_is_good_for_ten_minutes(at: Exchange) -> None:
    key = as_jwk(Phone().key.public_key())
    answers = [
        at.client.post("/sync/pair", json={"code": code_for(at, later(moment.now(), -age_s)), "key": key, "name": ""})
        for age_s in (590, 610)
    ]
    assert [one.status_code for one in answers] == [200, 403]


@pytest.mark.parametrize(
    ("key", "field"),
    [
        (None, "key"),
        ({"kty": "RSA"}, "key"),
        ({"kty": "EC", "crv": "P-384", "x": "", "y": ""}, "key"),
        ({"kty": "EC", "crv": "P-256", "x": "AA", "y": "AA"}, "key.x"),
        ({"kty": "EC", "crv": "P-256", "x": "A" * 43, "y": "A" * 43}, "key"),
        ({"kty": "EC", "crv": "P-256", "x": "é", "y": 1}, "key.x"),
    ],
)
def test_a_key_that_is_none_is_refused_and_the_code_stays_good(at: Exchange, key: object, field: str) -> None:
    code = code_for(at)
    answer = at.client.post("/sync/pair", json={"code": code, "key": key, "name": ""})
    assert (answer.status_code, answer.get_json()["error"]["field"]) == (400, field)
    Phone().pair(at.client, code)


def test_a_private_key_is_never_taken(at: Exchange) -> None:
    key = as_jwk(Phone().key.public_key()) | {"d": "A" * 43}
    answer = at.client.post("/sync/pair", json={"code": code_for(at), "key": key, "name": ""})
    assert answer.get_json()["error"]["code"] == "key-unusable"


def test_a_phone_that_was_turned_away_is_told_and_what_it_brings_waits_for_a_manager(at: Exchange) -> None:
    job = at.job()
    phone = at.phone(job)
    phone.keep(job, CONFIRMED)
    revoke(at, phone)
    for _ in range(2):
        answer = phone.batch([1]).arrive(at.client)
        said = answer.get_json()
        assert (answer.status_code, said["status"], said["error"]["code"]) == (403, "aside", "device-revoked")
    assert len(at.events(job)) == 1
    assert phone.request("GET", "/sync/jobs").arrive(at.client).status_code == 403
    (aside,) = kept_aside(at)
    decision = {"do": "bring-in", "reason": "It came back"}
    assert at.client.post(f"/sync/asides/{aside.id}", data=decision).status_code == 403
    at.as_manager()
    answer = at.client.post(f"/sync/asides/{aside.id}", data=decision)
    assert answer.get_json()["answers"] == [{"seq": 1, "status": "kept"}]
    assert at.events(job)[-1].device == phone.device
    assert kept_aside(at) == []


def test_a_phone_comes_back_under_its_own_name_with_its_own_key_alone(at: Exchange) -> None:
    job = at.job()
    phone = at.phone(job)
    phone.keep(job, CONFIRMED)
    phone.send(at.client)
    revoke(at, phone)
    name = phone.device
    at.pair(phone)
    assert phone.device == name
    assert phone.send(at.client)["highest"] == 1
    thief = Phone()
    thief.device = name
    body = {"code": code_for(at), "key": as_jwk(thief.key.public_key()), "name": "", "device": name}
    assert at.client.post("/sync/pair", json=body).get_json()["error"]["code"] == "device-other-key"
    made_up = at.client.post("/sync/pair", json=body | {"device": "server"})
    assert made_up.get_json()["error"]["code"] == "device-name"


def test_a_phone_is_known_by_its_name(at: Exchange) -> None:
    phone = at.phone(name="Bay 2")
    with session(at.engine) as db:
        assert [one.id for one in devices.devices(db)] == [phone.device]
        with pytest.raises(NotFound, match="'phone-0'"):
            devices.device_of(db, "phone-0")


def test_what_a_phone_asks_tells_when_it_was_seen_and_which_app_it_runs(at: Exchange) -> None:
    phone = at.phone()

    def ask(app: str) -> devices.Device:
        assert phone.request("GET", "/sync/jobs", **{"Baybook-App": app}).arrive(at.client).status_code == 200
        with session(at.engine) as db:
            return devices.device_of(db, phone.device)

    first = ask("53bf73f3c9d0e1aa")
    assert (first.app, first.offset_s is not None) == ("53bf73f3c9d0e1aa", True)
    assert ask("53bf73f3c9d0e1aa").seen_at == first.seen_at  # not every question is written down
    assert ask("<b>").app == "53bf73f3c9d0e1aa"
    assert ask("0011").app == "0011"


def test_the_address_of_the_first_phone_is_the_shops_from_then_on(at: Exchange) -> None:
    key = as_jwk(Phone().key.public_key())
    for origin in ("https://192.168.1.20:8443", "https://other.example"):
        said = {"code": code_for(at), "key": key, "name": "Bay 1"}
        assert at.client.post("/sync/pair", json=said, headers={"Origin": origin}, base_url=origin).status_code == 200
    assert address.kept(at.settings.data) == "https://192.168.1.20:8443"
    with session(at.engine) as db:
        assert [one.name for one in devices.stranded(db, "https://other.example")] == ["Bay 1"]
