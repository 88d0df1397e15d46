"""The phone holds whom the server would hold."""

from typing import Any

import pytest

from tests.core.cases import read_cases
from tests.core.test_competence import sheet_with
from tests.mirror.conftest import Mirror


@pytest.mark.parametrize("case", read_cases("competence"), ids=lambda case: case["name"])
def test_the_phone_answers_as_the_case_says(mirror: Mirror, case: dict[str, Any]) -> None:
    given = case["in"]
    person = given["person"] and {"code": "AAA111", "name": "Noor", **given["person"]}
    asked = {"sheet": sheet_with(given["hold"], given["serves"]), "person": person}
    assert mirror.out("heldAtFirst", asked) is case["out"]
