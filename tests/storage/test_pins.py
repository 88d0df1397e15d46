"""PINs: kept as hashes, and tried so often and no oftener, by phone and person."""

from concurrent.futures import ThreadPoolExecutor

import pytest
from argon2 import PasswordHasher
from sqlalchemy.engine import Engine

from webapp.core.errors import NotAllowed
from webapp.storage import people
from webapp.storage.engine import session, writing
from webapp.storage.moments import later
from webapp.storage.pins import check_pin
from webapp.storage.tables import Person

NOW = "2026-03-02T08:00:00.000Z"


@pytest.fixture
def mira(engine: Engine) -> Person:
    with writing(engine) as db:
        return people.add_person(db, "Mira", "supervisor", "2468")


def tried(engine: Engine, who: Person, pin: str, after_s: float = 0, where: str = "phone-1") -> bool | str:
    """Whether it was right; or how the refusal reads."""
    try:
        return check_pin(engine, who, pin, where, later(NOW, after_s))
    except NotAllowed as refused:
        return f"{refused.code}: {refused.message}"


def test_a_pin_is_kept_as_a_hash_of_the_librarys_own_cost(engine: Engine, mira: Person) -> None:
    assert mira.pin_hash is not None
    assert not PasswordHasher().check_needs_rehash(mira.pin_hash)
    assert tried(engine, mira, "2468") is True
    assert tried(engine, mira, "2469") is False
    with writing(engine) as db:
        people.set_pin(db, mira.code, "13572468")
    with session(engine) as db:
        now = people.person(db, mira.code)
    assert tried(engine, now, "2468") is False
    assert tried(engine, now, "13572468") is True


def test_a_hash_of_less_cost_is_made_anew_when_its_pin_was_given(engine: Engine, mira: Person) -> None:
    with writing(engine) as db:
        cheap = people.person(db, mira.code)
        cheap.pin_hash = PasswordHasher(time_cost=1, memory_cost=1024, parallelism=1).hash("2468")
        db.add(cheap)
    assert tried(engine, cheap, "1111") is False
    assert tried(engine, cheap, "2468") is True
    with session(engine) as db:
        kept = people.person(db, mira.code)
    assert kept.pin_hash is not None
    assert not PasswordHasher().check_needs_rehash(kept.pin_hash)
    assert tried(engine, kept, "2468") is True


def test_who_has_no_pin_or_has_left_passes_with_none(engine: Engine) -> None:
    with writing(engine) as db:
        without = people.add_person(db, "Mira", "supervisor")
        left = people.add_person(db, "Jonas", "supervisor", "2468")
        people.change_person(db, left.code, name="Jonas", role="supervisor", active=False)
    assert tried(engine, without, "") is False
    assert tried(engine, left, "2468") is False


def test_after_five_wrong_pins_in_a_row_they_rest_and_ever_longer(engine: Engine, mira: Person) -> None:
    for after_s in range(5):
        assert tried(engine, mira, "0000", after_s) is False
    assert (
        tried(engine, mira, "2468", 5)
        == "pin-rests: pin was wrong 5 times on this phone; wait 29 s, or use another phone"
    )
    assert tried(engine, mira, "0000", 34.5) is False
    assert "was wrong 6 times on this phone; wait 60 s" in str(tried(engine, mira, "2468", 34.5))
    at = 100.0
    for _ in range(12):
        assert tried(engine, mira, "0000", at) is False
        at += 900
    assert "wait 900 s" in str(tried(engine, mira, "2468", at - 900))
    assert tried(engine, mira, "2468", at) is True
    assert tried(engine, mira, "0000", at) is False  # the count begins anew
    assert tried(engine, mira, "2468", at) is True


def test_a_pin_that_rests_on_one_phone_counts_on_another_and_so_does_everybody_elses(
    engine: Engine, mira: Person
) -> None:
    with writing(engine) as db:
        jonas = people.add_person(db, "Jonas", "technician", "1357")
    for _ in range(5):
        tried(engine, mira, "0000")
    assert tried(engine, jonas, "1357") is True
    assert tried(engine, mira, "2468", where="phone-2") is True
    assert "was wrong 5 times" in str(tried(engine, mira, "2468"))


def test_a_clock_that_was_set_back_keeps_nobody_off_for_longer(engine: Engine, mira: Person) -> None:
    for _ in range(5):
        tried(engine, mira, "0000", 86_400)
    assert "wait 900 s" in str(tried(engine, mira, "2468"))


def test_many_guesses_at_once_are_counted_like_one_after_another(engine: Engine, mira: Person) -> None:
    with ThreadPoolExecutor(12) as hands:
        answers = list(hands.map(lambda pin: tried(engine, mira, f"{pin:04}"), range(12)))
    assert answers.count(False) == 5
