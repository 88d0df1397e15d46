"""A badge says who, a PIN that it is really them, and nobody guesses a PIN by trying."""

import re
from collections.abc import Iterator

import pytest
from sqlalchemy.engine import Engine
from sqlmodel import Session

from webapp.core.errors import BadInput, Conflict, NotFound
from webapp.storage import kit, people
from webapp.storage.engine import session, writing


@pytest.fixture
def db(engine: Engine) -> Iterator[Session]:
    with writing(engine) as held:
        yield held


def test_a_new_person_is_found_by_a_badge_without_look_alikes(db: Session) -> None:
    made = people.add_person(db, "  Mira   Lindqvist ", "technician")
    assert re.fullmatch("[BCDFGHJKMNPQRTVWX][BCDFGHJKMNPQRTVWX346789]{5}", made.code)
    found = people.by_badge(db, made.code)
    assert found is not None
    assert (found.name, found.role, found.active, found.pin_hash) == ("Mira Lindqvist", "technician", True, None)


def test_a_badge_of_nobody_is_named(db: Session) -> None:
    assert people.by_badge(db, "NOBODY") is None
    with pytest.raises(NotFound, match="badge='NOBODY' is nobody's badge here"):
        people.person(db, "NOBODY")


@pytest.mark.parametrize(
    ("given", "field", "message"),
    [
        ({"name": " "}, "name", "name=' ' must be 1 to 60 characters"),
        ({"name": "x" * 61}, "name", "1 to 60"),
        ({"name": "Mira\x00"}, "name", "in print"),
        ({"role": "boss"}, "role", "role='boss' must be one of technician, apprentice, supervisor, manager"),
        ({"pin": "123"}, "pin", "pin must be 4 to 8 digits"),
        ({"pin": "123456789"}, "pin", "4 to 8"),
        ({"pin": "12a4"}, "pin", "4 to 8"),
        ({"pin": "١٢٣٤"}, "pin", "4 to 8"),
        ({"code": "A B"}, "code", "code='A B' must be 1 to 20 of A-Z, 0-9 and hyphens"),
        ({"code": "ÄRGER"}, "code", "1 to 20"),
    ],
)
def test_what_cannot_be_is_named_with_its_value(db: Session, given: dict[str, str], field: str, message: str) -> None:
    with pytest.raises(BadInput) as refused:
        people.add_person(db, **({"name": "Mira", "role": "technician"} | given))
    assert refused.value.field == field
    assert message in refused.value.message
    assert people.everyone(db) == []


def test_a_message_never_quotes_a_pin(db: Session) -> None:
    with pytest.raises(BadInput) as refused:
        people.add_person(db, "Mira", "technician", "99x99")
    assert "99x99" not in refused.value.message


def test_a_badge_and_a_thing_never_share_a_code(db: Session) -> None:
    kit.add_item(db, "bay", "bay", "Bay 1", code="B-1")
    with pytest.raises(Conflict, match="code='B-1' is on another label already"):
        people.add_person(db, "Mira", "technician", code="b-1")


def test_who_left_is_listed_last(engine: Engine) -> None:
    with writing(engine) as db:
        for name in ("Ada", "Bo", "Cleo"):
            people.add_person(db, name, "technician")
        bo = people.everyone(db)[1]
        people.change_person(db, bo.code, name="Bo", role="manager", active=False)
    with session(engine) as db:
        assert [one.name for one in people.everyone(db)] == ["Ada", "Cleo", "Bo"]
