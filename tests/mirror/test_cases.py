"""The phone answers every case of tests/cases as the server does."""

from typing import Any

import pytest

from tests.core.cases import CASES, read_cases, same
from tests.mirror.conftest import Mirror

METHODS = ("axis", "decide", "floor", "height", "repeats", "scan", "square", "vin")
# A key or hubs that nobody knows are refused where a file comes in; nothing comes in so on a phone.
ELSEWHERE = ("unknown-field", "unknown-hubs")
ASKED = [
    pytest.param(method, case, id=f"{method}: {case['name']}")
    for method in METHODS
    for case in read_cases(method)
    if case.get("error", {}).get("code") not in ELSEWHERE
]


def test_every_file_of_cases_about_these_rules_is_asked() -> None:
    assert {path.stem for path in CASES.glob("*.json")} >= set(METHODS)
    assert len(ASKED) >= 180


@pytest.mark.parametrize(("method", "case"), ASKED)
def test_the_phone_answers_as_the_case_says(mirror: Mirror, method: str, case: dict[str, Any]) -> None:
    answer = mirror.ask(f"{method}Case", case["in"])
    wanted = {key: case[key] for key in ("out", "error") if key in case}
    assert same(answer, wanted), answer
