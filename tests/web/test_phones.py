"""The page of the phones: who is paired and how far, the code for a new one, turning one away."""

import re

import pytest
from flask.testing import FlaskClient
from sqlalchemy.engine import Engine

from tests.cast import ADA, NOOR, TOMAS, Someone, scan_badge
from tests.sync.phone import Phone
from webapp import address
from webapp.config import Settings
from webapp.core.errors import Conflict
from webapp.storage import asides, devices
from webapp.storage.asides import Apart
from webapp.storage.engine import session, writing
from webapp.storage.keys import as_jwk
from webapp.storage.phone_tables import Device
from webapp.sync.moment import now

NOW = "2026-03-02T08:00:00.000Z"


@pytest.fixture
def phone(demo_engine: Engine) -> str:
    """The name of a paired phone."""
    with writing(demo_engine) as db:
        code = devices.make_code(db, ADA.badge, NOW)
        key = as_jwk(Phone().key.public_key())
        return devices.pair(db, code, key, "Bay 1", NOW, None, "https://old.example:8443").id


def change(engine: Engine, name: str, **about: object) -> None:
    with writing(engine) as db:
        device = devices.device_of(db, name)
        for field, value in about.items():
            setattr(device, field, value)
        db.add(device)


def device(engine: Engine, name: str) -> Device:
    with session(engine) as db:
        return devices.device_of(db, name)


def test_whoever_may_not_change_anything_sees_the_way_aboard_and_no_phones(
    client: FlaskClient, shop: Settings, phone: str
) -> None:
    address.keep(shop.data, "https://old.example:8443")
    scan_badge(client, NOOR)
    page = client.get("/phones").text
    assert 'href="/phone"' in page
    assert "Bay 1" not in page
    for answer in (client.get(f"/phones/{phone}"), client.post("/phones/codes")):
        assert answer.status_code == 403
    assert client.post(f"/phones/{phone}/revoke", data={"reason": "x"}).status_code == 403


def test_a_phones_page_tells_how_it_stands(client: FlaskClient, demo_engine: Engine, phone: str) -> None:
    scan_badge(client, ADA)
    assert "seen never" in client.get("/phones").text
    change(demo_engine, phone, seen_at=NOW, offset_s=-75.4, highest=17, app="53bf73f3")
    with writing(demo_engine) as db:
        asides.set_aside(db, phone, Apart.body("{}"), Conflict("device-revoked", "", "was turned away"), NOW)
    assert "1 kept aside" in client.get("/phones").text
    page = client.get(f"/phones/{phone}").text
    for words in ("Bay 1", "75 s ahead of the server", "up to its event 17", "53bf73f3", ADA.name, "1 kept aside"):
        assert words in page


@pytest.mark.parametrize(
    ("offset_s", "says"), [(None, "not known"), (1.9, "right"), (30.0, "30 s behind"), (-3.0, "3 s ahead")]
)
def test_a_phones_clock_is_told_in_words(
    client: FlaskClient, demo_engine: Engine, phone: str, offset_s: float | None, says: str
) -> None:
    change(demo_engine, phone, offset_s=offset_s)
    scan_badge(client, ADA)
    assert says in client.get(f"/phones/{phone}").text


def test_a_code_made_there_lets_a_phone_in(client: FlaskClient) -> None:
    scan_badge(client, ADA)
    page = client.post("/phones/codes").text
    (code,) = re.findall(r"data-code>([0-9A-Z-]+)<", page)
    new = Phone()
    new.pair(client, code)
    assert new.device in client.get("/phones").text


@pytest.mark.parametrize("who", [ADA, TOMAS])
def test_a_phone_is_turned_away_with_a_reason(
    client: FlaskClient, demo_engine: Engine, phone: str, who: Someone
) -> None:
    scan_badge(client, who)
    refused = client.post(f"/phones/{phone}/revoke", data={"reason": "  "})
    assert (refused.status_code, "say in 1 to 200 why" in refused.text) == (400, True)
    assert device(demo_engine, phone).revoked_at is None
    assert client.post(f"/phones/{phone}/revoke", data={"reason": "Lost <it>"}).headers["Location"] == "/phones"
    found = device(demo_engine, phone)
    assert (found.revoked_by, found.revoked_why) == (who.badge, "Lost <it>")
    page = client.get(f"/phones/{phone}").text
    assert "Lost &lt;it&gt;" in page
    assert f'action="/phones/{phone}/revoke"' not in page


def test_phones_of_another_address_are_named(client: FlaskClient, shop: Settings, phone: str) -> None:
    scan_badge(client, NOOR)
    address.keep(shop.data, "https://old.example:8443")
    assert "another address" not in client.get("/phones").text
    address.keep(shop.data, "https://new.example:8443")
    page = client.get("/phones").text
    assert "Bay 1: last seen never" in page
    assert "https://old.example:8443" in page


def test_a_phone_that_nobody_knows_is_refused(client: FlaskClient) -> None:
    scan_badge(client, ADA)
    answer = client.get("/phones/phone-0123456789abcdef")
    assert (answer.status_code, "is not paired with this shop" in answer.text) == (404, True)


def test_what_a_phone_has_still_to_send_is_shown_as_it_said_last(client: FlaskClient, demo_engine: Engine) -> None:
    with writing(demo_engine) as db:
        code = devices.make_code(db, ADA.badge, now())
    phone = Phone()
    phone.pair(client, code)
    scan_badge(client, ADA)
    page = f"/phones/{phone.device}"
    assert "Still to send" in client.get(page).text
    for said, shown in (("3", "3 events and photos"), ("1", "1 event or photo"), ("0", "nothing"), ("many", "–")):
        answer = phone.request("GET", "/sync/jobs", Baybook_Unsent=said).arrive(client)
        assert answer.status_code == 200
        assert shown in client.get(page).text
