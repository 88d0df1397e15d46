"""The people's pages: every change is signed with a PIN, and the first one of a new shop needs nobody's."""

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy.engine import Engine

from tests.cast import ADA, CAST, ILYA, NOOR, TOMAS, scan_badge
from webapp.config import Settings
from webapp.storage import people
from webapp.storage.engine import session, writing
from webapp.storage.first import first_code
from webapp.storage.pins import check_pin
from webapp.storage.tables import Person

NOW = "2026-03-02T08:00:00.000Z"
MIRA = {"name": "Mira Lindqvist", "role": "technician", "your_pin": ADA.pin}


def everyone(engine: Engine) -> dict[str, Person]:
    with session(engine) as db:
        return {one.name: one for one in people.everyone(db)}


@pytest.fixture
def new_shop(app: Flask, shop: Settings, engine: Engine) -> FlaskClient:
    app.extensions |= {"engine": engine, "settings": shop}
    return app.test_client()


def test_everybody_is_listed_without_the_badges(client: FlaskClient) -> None:
    page = client.get("/people").text
    for one in CAST:
        assert one.name in page
        assert one.badge not in page


def test_a_supervisor_adds_somebody_who_can_then_scan_the_badge(client: FlaskClient, demo_engine: Engine) -> None:
    scan_badge(client, ADA)
    answer = client.post("/people/new", data=MIRA)
    assert answer.status_code == 303
    added = everyone(demo_engine)["Mira Lindqvist"]
    assert answer.headers["Location"] == f"/people/{added.code}"
    assert f"BAY.P.{added.code}." in client.get(answer.headers["Location"]).text
    assert (added.role, added.active, added.pin_hash) == ("technician", True, None)


@pytest.mark.parametrize(
    ("who", "sent", "status", "message"),
    [
        (NOOR, {}, 403, "This is for a supervisor or a manager"),
        (ILYA, {}, 403, "This is for a supervisor or a manager"),
        (ADA, {"your_pin": "0000"}, 403, "your_pin is not your PIN"),
        (ADA, {"your_pin": ""}, 403, "your_pin is not your PIN"),
        (TOMAS, {"your_pin": ADA.pin}, 403, "your_pin is not your PIN"),
        (ADA, {"name": " "}, 400, "name=&#39; &#39; must be 1 to 60 characters"),
        (ADA, {"role": "owner"}, 400, "role=&#39;owner&#39; must be one of technician"),
        (ADA, {"role": "supervisor"}, 400, "pin is empty"),
        (ADA, {"pin": "12"}, 400, "pin must be 4 to 8 digits"),
        (ADA, {"code": NOOR.badge}, 409, "is on another label already"),
    ],
)
def test_what_is_not_signed_or_cannot_be_adds_nobody(
    client: FlaskClient, demo_engine: Engine, who: object, sent: dict[str, str], status: int, message: str
) -> None:
    scan_badge(client, who)  # type: ignore[arg-type]
    answer = client.post("/people/new", data=MIRA | sent)
    assert answer.status_code == status
    assert message in answer.text
    assert sorted(everyone(demo_engine)) == sorted(one.name for one in CAST)


def test_a_form_that_is_refused_keeps_what_was_typed_but_no_pin(client: FlaskClient) -> None:
    scan_badge(client, ADA)
    answer = client.post("/people/new", data=MIRA | {"role": "supervisor", "pin": "12"})
    assert 'value="Mira Lindqvist"' in answer.text
    assert '<option value="supervisor" selected>' in answer.text
    assert "2468" not in answer.text


def test_somebody_who_left_can_no_longer_scan_in_and_is_out_on_the_next_page(
    client: FlaskClient, app: Flask, demo_engine: Engine
) -> None:
    scan_badge(client, ADA)
    phone_of_noor = app.test_client()
    scan_badge(phone_of_noor, NOOR)
    assert NOOR.name in phone_of_noor.get("/kit").text
    sent = {"name": NOOR.name, "role": NOOR.role, "active": "no", "your_pin": ADA.pin}
    assert client.post(f"/people/{NOOR.badge}", data=sent).status_code == 303
    assert not everyone(demo_engine)[NOOR.name].active
    assert NOOR.name not in phone_of_noor.get("/kit").text
    assert phone_of_noor.post("/badge", data={"badge": NOOR.label}).status_code == 400


def test_a_new_pin_counts_at_once_and_an_empty_one_leaves_the_old(client: FlaskClient, demo_engine: Engine) -> None:
    scan_badge(client, TOMAS)
    sent = {"name": ADA.name, "role": ADA.role, "active": "yes", "your_pin": TOMAS.pin}
    client.post(f"/people/{ADA.badge}", data=sent)
    assert check_pin(demo_engine, everyone(demo_engine)[ADA.name], ADA.pin, "here", NOW)
    client.post(f"/people/{ADA.badge}", data=sent | {"pin": "97531"})
    assert check_pin(demo_engine, everyone(demo_engine)[ADA.name], "97531", "here", NOW)


def test_a_bad_new_pin_changes_nothing_else_either(client: FlaskClient, demo_engine: Engine) -> None:
    scan_badge(client, TOMAS)
    sent = {"name": "Ada P.", "role": "manager", "active": "no", "pin": "x", "your_pin": TOMAS.pin}
    assert client.post(f"/people/{ADA.badge}", data=sent).status_code == 400
    found = everyone(demo_engine)[ADA.name]
    assert (found.role, found.active) == ("supervisor", True)


def test_a_badge_is_shown_to_supervisors_and_managers_only(client: FlaskClient) -> None:
    assert client.get(f"/people/{ADA.badge}").status_code == 403
    scan_badge(client, NOOR)
    assert client.get(f"/people/{ADA.badge}").status_code == 403
    scan_badge(client, ADA)
    assert ADA.label in client.get(f"/people/{ADA.badge}").text


def test_the_first_one_of_a_new_shop_must_be_able_to_sign_and_signs_from_then_on(
    new_shop: FlaskClient, engine: Engine, shop: Settings
) -> None:
    boss = {"name": "Greta Holm", "role": "manager", "pin": "8642", "first_code": first_code(shop.data)}
    refused = new_shop.post("/people/new", data=boss | {"role": "technician", "pin": ""})
    assert refused.status_code == 400
    assert "cannot be the first one" in refused.text
    assert everyone(engine) == {}
    assert new_shop.post("/people/new", data=boss).status_code == 303
    assert "Greta Holm" in new_shop.get("/kit").text  # this phone is hers, so that she can print her badge
    assert new_shop.post("/people/new", data=MIRA).status_code == 403
    assert new_shop.post("/people/new", data=MIRA | {"your_pin": "8642"}).status_code == 303
    assert sorted(everyone(engine)) == ["Greta Holm", "Mira Lindqvist"]


@pytest.mark.parametrize("code", ["", "AAAAAAAAAA", "é"])
def test_nobody_becomes_the_manager_of_a_new_shop_by_coming_first(
    new_shop: FlaskClient, engine: Engine, shop: Settings, code: str
) -> None:
    boss = {"name": "Greta Holm", "role": "manager", "pin": "8642", "first_code": code}
    answer = new_shop.post("/people/new", data=boss)
    assert answer.status_code == 403
    assert "first_code is not the one of this shop" in answer.text
    assert everyone(engine) == {}
    assert first_code(shop.data) not in answer.text


def test_the_first_code_is_typed_as_people_type_and_is_good_once(
    new_shop: FlaskClient, engine: Engine, shop: Settings
) -> None:
    code = first_code(shop.data)
    assert (shop.data / "first-code").stat().st_mode & 0o077 == 0
    boss = {"name": "Greta Holm", "role": "manager", "pin": "8642", "first_code": f" {code[:5].lower()}-{code[5:]} "}
    assert new_shop.post("/people/new", data=boss).status_code == 303
    assert not (shop.data / "first-code").exists()
    with writing(engine) as db:  # the only one who could sign leaves
        (only,) = people.everyone(db)
        people.change_person(db, only.code, name=only.name, role=only.role, active=False)
    assert new_shop.post("/people/new", data=boss | {"name": "Somebody"}).status_code == 403
    assert new_shop.post("/people/new", data=boss | {"first_code": first_code(shop.data)}).status_code == 303
    assert first_code(shop.data) != code


def test_a_person_of_a_shop_that_nobody_can_sign_for_is_not_changed_without_the_code(
    new_shop: FlaskClient, engine: Engine, shop: Settings
) -> None:
    with writing(engine) as db:
        mira = people.add_person(db, "Mira", "manager").code
    sent = {"name": "Mira", "role": "manager", "active": "yes", "pin": "8642"}
    assert new_shop.post(f"/people/{mira}", data=sent).status_code == 403
    assert not everyone(engine)["Mira"].pin_hash
    assert new_shop.post(f"/people/{mira}", data=sent | {"first_code": first_code(shop.data)}).status_code == 303
    assert everyone(engine)["Mira"].pin_hash
