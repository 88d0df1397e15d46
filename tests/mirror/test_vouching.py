"""The phone asks and answers by code as the server reads it."""

from dataclasses import asdict, replace
from typing import Any

import pytest

from tests.core.cases import read_cases, same
from tests.core.test_vouched import BESIDE
from tests.core.test_vouching import asked, held
from tests.mirror.conftest import Mirror
from tests.sheets import SUPERVISOR


@pytest.mark.parametrize("case", read_cases("vouching"), ids=lambda case: case["name"])
def test_the_phone_answers_as_the_case_says(mirror: Mirror, case: dict[str, Any]) -> None:
    given = case["in"]
    if given["do"] == "asked":
        hands = held()
        ask = asdict(replace(asked(hands), **given["ask"]))
        given = given | {"ask": ask, "sheet": hands.sheet, "events": [asdict(one) for one in hands.events]}
    answer = mirror.ask("vouchingCase", given)
    assert same(answer, {key: case[key] for key in ("out", "error") if key in case}), answer


@pytest.mark.parametrize(("beside", "steps", "waits"), BESIDE)
def test_what_is_beside_a_countersign_keeps_the_job_alike(
    mirror: Mirror, beside: list[str], steps: int, waits: bool
) -> None:
    hands = held()
    hands.witness = SUPERVISOR
    hands.tap("countersign")
    asked_of = {"sheet": hands.sheet, "events": [asdict(one) for one in hands.events], "beside": beside}
    assert mirror.out("vouchedWith", asked_of) == [["work/chock"] * steps, waits]
