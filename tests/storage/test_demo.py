"""The demo shop has everything that the procedures ask for, the same every time, and never touches a real shop."""

from datetime import date

import pytest
from sqlalchemy.engine import Engine

from tests.cast import ADA, CAST, TOMAS, thing
from webapp.core.procedure import Catalogue
from webapp.library.load import load as load_library
from webapp.paths import PROCEDURES
from webapp.storage import demo, kit, people
from webapp.storage.engine import session, writing
from webapp.storage.pins import check_pin

TODAY = date(2026, 3, 2)
INSTRUMENTS = {is_ for is_, _name, accuracy in demo.TOOLS if accuracy}


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return load_library(PROCEDURES).catalogue


def test_every_target_and_spot_of_the_catalogue_is_there_and_in_service(engine: Engine, catalogue: Catalogue) -> None:
    with writing(engine) as db:
        assert demo.load(db, catalogue, TODAY)
    with session(engine) as db:
        held = kit.kit(db)
    usable = {
        thing["is"]
        for thing in held.values()
        if thing["condition"] == "good" and (thing["inspection_due"] is None or thing["inspection_due"] >= "2026-03-02")
    }
    assert usable == {*catalogue.targets, *catalogue.spots, *INSTRUMENTS, "badge"}
    for one in held.values():
        if one["kind"] == "target":
            assert held[one["home"]]["is"] == catalogue.targets[one["is"]].home


def test_one_spare_is_damaged_and_one_is_overdue(engine: Engine, catalogue: Catalogue) -> None:
    with writing(engine) as db:
        demo.load(db, catalogue, TODAY)
        damaged = thing(db, "camera-board-left", spare=True)
        overdue = thing(db, "camera-board-right", spare=True)
    assert (damaged.condition, damaged.name) == ("damaged", "Camera board, left, spare")
    assert (overdue.condition, overdue.inspection_due) == ("good", date(2026, 2, 18))


def test_everybody_of_the_cast_is_there_with_the_pin_that_the_readme_states(
    engine: Engine, catalogue: Catalogue
) -> None:
    with writing(engine) as db:
        demo.load(db, catalogue, TODAY)
        there = [(one.code, one.name, one.role) for one in people.everyone(db)]
        assert sorted(there) == sorted((one.badge, one.name, one.role) for one in CAST)
        crew = [(people.person(db, one.badge), one.pin) for one in (ADA, TOMAS)]
    for person, pin in crew:
        assert check_pin(engine, person, pin, "here", "2026-03-02T08:00:00.000Z")


def test_it_comes_out_the_same_every_time_and_is_loaded_once(engine: Engine, catalogue: Catalogue) -> None:
    def codes() -> list[str]:
        with session(engine) as db:
            return sorted(kit.kit(db))

    with writing(engine) as db:
        demo.load(db, catalogue, TODAY)
    first = codes()
    with writing(engine) as db:
        assert not demo.load(db, catalogue, TODAY)
    assert codes() == first
    assert (
        len(first)
        == len(set(first))
        == len(catalogue.targets) + len(catalogue.spots) + len(demo.BAYS) - 1 + 2 + len(CAST) + len(INSTRUMENTS)
    )


def test_a_shop_that_holds_anything_is_left_alone(engine: Engine, catalogue: Catalogue) -> None:
    with writing(engine) as db:
        kit.add_item(db, "bay", "bay", "The only bay", area_mm=(4000, 9000))
        assert not demo.load(db, catalogue, TODAY)
        assert people.everyone(db) == []
