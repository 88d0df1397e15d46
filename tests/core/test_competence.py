"""Who works alone and who under supervision decides which hold points hold; cases in tests/cases/competence.json."""

from dataclasses import replace
from typing import Any

import pytest

from tests.core.cases import cases, check
from tests.sheets import APPRENTICE, TECHNICIAN, Hands, every_kind
from webapp.core.act import act
from webapp.core.check import check as checked
from webapp.core.events import Event
from webapp.core.kinds import Moment
from webapp.core.kinds.common import Person
from webapp.core.state import Clock

NOW = Clock("2026-03-02T08:00:00.000Z", 1.0, "b")


def sheet_with(hold: str, serves: list[str]) -> dict[str, Any]:
    sheet = every_kind()
    sheet["sections"][0] |= {"calibrations": serves}
    sheet["steps"][0] |= {"hold": hold}
    return sheet


def is_held(given: dict[str, Any]) -> bool:
    """Whether the first step is held when that person has done it."""
    person = given["person"] and Person("AAA111", name="Noor", **given["person"])
    hands = Hands(sheet_with(given["hold"], given["serves"]))
    form = {"do": "confirm", "step": "work/chock", "attempt": "1", "turn": "0"}
    return bool(act(hands.sheet, hands.state, form, Moment(NOW, "2026-03-02", person=person)).data["held"])


@pytest.mark.parametrize("case", cases("competence"))
def test_a_hold_point_holds_whom_it_should(case: dict[str, Any]) -> None:
    check(case, is_held)


@pytest.mark.parametrize(("levels", "differs"), [({}, True), ({"work": "alone"}, False)])
def test_what_a_phone_let_pass_is_asked_again_with_what_is_known_of_the_person_here(
    levels: dict[str, str], differs: bool
) -> None:
    """The phone had an apprentice pass alone: a difference, unless the shop knows of the grant, too."""
    hands = Hands(sheet_with("apprentice", ["work"]), person=TECHNICIAN)
    before = hands.state
    event = Event(
        "e", "job-1", "phone-1", 1, "confirmed", "work/chock", 1, 0, NOW.at, 2.0, "b", APPRENTICE.code, {"held": False}
    )
    person = replace(APPRENTICE, levels=levels)
    found = checked(hands.sheet, before, event, Moment(NOW, "2026-03-02", person=person), lambda: True)
    assert [one.what for one in found.differences] == (["held"] if differs else [])
