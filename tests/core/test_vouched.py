"""Which countersigns keep a job from its end, and whether another phone has only to be heard of."""

import pytest

from tests.core.test_vouching import held
from tests.sheets import SUPERVISOR
from webapp.core.crossing import Shown
from webapp.core.vouched import unheard, unproven

BESIDE: list[tuple[list[str], int, bool]] = [
    ([], 0, False),
    (["sign-in"], 0, False),
    (["pin"], 1, False),
    (["answer"], 1, False),
    (["answer-waits"], 1, True),
    (["answer-waits", "chain"], 1, True),
    (["answer-waits", "answer"], 2, False),
]


@pytest.mark.parametrize(("beside", "steps", "waits"), BESIDE)
def test_what_is_beside_a_countersign_that_stands(beside: list[str], steps: int, waits: bool) -> None:
    hands = held()
    hands.witness = SUPERVISOR
    hands.tap("countersign")
    found = [Shown(hands.events[-1], what) for what in beside]
    assert (unproven(hands.state, found), unheard(hands.state, found)) == (("work/chock",) * steps, waits)


def test_one_that_was_undone_keeps_no_job_from_its_end() -> None:
    hands = held()
    hands.witness = SUPERVISOR
    hands.tap("countersign")
    given = hands.events[-1]
    hands.tap("undo", step="work/chock", attempt="1", reason="Loose.")
    assert unproven(hands.state, [Shown(given, "answer-waits")]) == ()
    assert not unheard(hands.state, [Shown(given, "answer-waits")])
