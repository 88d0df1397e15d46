"""The kit: what is where, in which condition, and when it must be looked at again."""

from collections.abc import Iterator
from datetime import date
from typing import Any

import pytest
from sqlalchemy.engine import Engine
from sqlmodel import Session

from webapp.core.errors import BadInput, Conflict, NotFound
from webapp.storage import codes, kit, people
from webapp.storage.engine import writing
from webapp.storage.kit import Upkeep


@pytest.fixture
def db(engine: Engine) -> Iterator[Session]:
    with writing(engine) as held:
        yield held


def test_the_core_sees_all_that_carries_a_label_and_nothing_else(db: Session) -> None:
    kit.add_item(db, "spot", "rack-plate", "Rack, plate shelf", code="S-1")
    kit.add_item(
        db, "target", "radar-plate", "Radar plate", Upkeep(inspection_due=date(2026, 5, 1), home="S-1"), code="T-1"
    )
    kit.add_item(db, "tool", "tape", "Tape", code="X-1")
    people.add_person(db, "Mira", "technician", code="P-1")
    people.add_person(db, "Jonas", "technician", code="P-2")
    people.change_person(db, "P-2", name="Jonas", role="technician", active=False)
    assert kit.kit(db) == {
        "S-1": {
            "kind": "spot",
            "is": "rack-plate",
            "name": "Rack, plate shelf",
            "condition": "good",
            "inspection_due": None,
            "home": None,
        },
        "T-1": {
            "kind": "target",
            "is": "radar-plate",
            "name": "Radar plate",
            "condition": "good",
            "inspection_due": "2026-05-01",
            "home": "S-1",
        },
        "P-1": {
            "kind": "badge",
            "is": "badge",
            "name": "Mira",
            "condition": "good",
            "inspection_due": None,
            "home": None,
        },
    }


def test_a_new_code_begins_with_the_initials_and_is_free(db: Session) -> None:
    first = kit.add_item(db, "target", "camera-board-left", "Board")
    assert first.code.startswith("CBL-")
    picks = iter([*first.code.removeprefix("CBL-"), *"BCDF"])  # the dice fall on the taken code first
    assert codes.new_code(db, "camera-board-left", pick=lambda among: next(picks)) == "CBL-BCDF"


def test_the_list_goes_by_kind_then_name(db: Session) -> None:
    for kind, name in (("bay", "Bay 1"), ("spot", "Rack"), ("target", "Mat"), ("target", "Lamp"), ("tool", "Tape")):
        kit.add_item(db, kind, "x", name)
    assert [one.name for one in kit.items(db)] == ["Lamp", "Mat", "Rack", "Bay 1", "Tape"]


def test_upkeep_is_changed_whole(db: Session) -> None:
    kit.add_item(db, "spot", "rack", "Rack", code="S-1")
    kit.add_item(db, "target", "mat", "Mat", Upkeep(home="S-1"), code="T-1")
    kit.change_item(db, "T-1", "Floor mat", Upkeep("damaged", date(2026, 3, 2), date(2027, 3, 2), None, " Torn. "))
    changed = kit.item_of(db, "T-1")
    assert (changed.name, changed.condition, changed.note, changed.home) == ("Floor mat", "damaged", "Torn.", None)
    assert (changed.inspected_on, changed.inspection_due) == (date(2026, 3, 2), date(2027, 3, 2))


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({"kind": "badge"}, "kind='badge' must be one of target, spot, bay, test-label, tool"),
        ({"name": ""}, "name='' must be 1 to 60 characters"),
        ({"upkeep": Upkeep("worn")}, "condition='worn' must be one of good, damaged"),
        ({"upkeep": Upkeep(home="T-9")}, "home='T-9' must be the code of a spot"),
        ({"upkeep": Upkeep(home="B-1")}, "home='B-1' must be the code of a spot"),
        (
            {"upkeep": Upkeep(inspected_on=date(2026, 3, 2), inspection_due=date(2026, 3, 1))},
            "inspection_due=2026-03-01 lies before inspected_on=2026-03-02",
        ),
        ({"upkeep": Upkeep(note="x" * 501)}, "must be at most 500 characters"),
        ({"code": "-T"}, "code='-T' must be 1 to 20 of A-Z"),
    ],
)
def test_what_cannot_be_is_named_with_its_value(db: Session, given: dict[str, Any], message: str) -> None:
    kit.add_item(db, "bay", "bay", "Bay 1", code="B-1")
    with pytest.raises(BadInput) as refused:
        kit.add_item(db, **({"kind": "target", "is_": "mat", "name": "Mat"} | given))
    assert message in refused.value.message
    assert [one.code for one in kit.items(db)] == ["B-1"]


def test_no_two_labels_have_one_code(db: Session) -> None:
    kit.add_item(db, "target", "mat", "Mat", code="T-1")
    with pytest.raises(Conflict, match="code='T-1' is on another label already"):
        kit.add_item(db, "spot", "rack", "Rack", code=" t-1 ")


def test_what_is_not_in_the_kit_is_named(db: Session) -> None:
    with pytest.raises(NotFound, match="code='T-1' is not in the kit"):
        kit.change_item(db, "T-1", "Mat", Upkeep())
