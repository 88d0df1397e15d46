"""Which label the hands of the rehearsal and of the tests scan next, also where two phones have been at one step."""

from dataclasses import replace
from typing import Any

import pytest

from tests.sheets import KIT, checked, pair
from webapp.core.state import StepState
from webapp.storage.rehearsal.labels import next_label

PAIRS = [pair("board-left", "arm-left"), pair("board-right", "arm-right")]
LEFT_PLACED = ({"target": "L1", "spot": "SL", "pair": 0},)


@pytest.mark.parametrize(
    ("placed", "holding", "wanted"),
    [
        ((), None, "BAY.T.L1."),
        ((), "L1", "BAY.S.SL."),
        ((), "R1", "BAY.S.SR."),
        ((), "SR", "BAY.T.R1."),
        (LEFT_PLACED, None, "BAY.T.R1."),
        (LEFT_PLACED, "SL", "BAY.T.R1."),
        (LEFT_PLACED, "L1", "BAY.T.R1."),
    ],
)
def test_the_other_half_of_what_is_in_hand_comes_next(placed: Any, holding: str | None, wanted: str) -> None:
    was = replace(StepState(), placed=placed, holding=holding)
    assert next_label(PAIRS, was, KIT, "", None, wrong=False) == checked(wanted)


def test_a_wrong_label_is_the_spot_of_another_pair() -> None:
    was = replace(StepState(), holding="L1")
    assert next_label(PAIRS, was, KIT, "", None, wrong=True) == checked("BAY.S.SR.")
