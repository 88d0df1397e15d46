"""Made cases, the same in every run: whatever comes in, the phone and the server say the same.

Texts, verdicts and refusals are equal to the letter; numbers to 1e-9 of themselves, or to 1e-11 of their unit where the
true value is 0 and only what the last digits left over is told.
"""

import json
from collections.abc import Callable
from math import isclose
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as some

from tests.mirror import made_sums, made_text
from tests.mirror.conftest import Mirror
from tests.mirror.rules import RULES
from webapp.core.errors import BaybookError

Cases = some.SearchStrategy[dict[str, Any]]
NAMED = some.fixed_dictionaries

# As long as a message quotes, and one longer.
LONG = ["x" * 58, "é" * 59, "😀" * 58, "😀" * 59]

# The rule asked, the cases made for it, and how many of them.
ASKED: list[tuple[str, Cases, int]] = [
    ("write_number", made_sums.writings, 100),
    ("quote", NAMED({"value": made_text.texts | made_text.numbers | some.sampled_from([None, True, *LONG])}), 60),
    ("read_value", made_text.readings, 600),
    ("read_label", made_text.scanned, 160),
    ("label_text", made_text.labels, 60),
    ("read_vin", made_text.vins, 160),
    ("match_pattern", made_text.patterns(), 60),
    ("look_into_kit", made_text.looks_into_kits, 80),
    ("scan_labels", made_text.scans, 200),
    ("sum_up", made_sums.sums, 60),
    ("few", made_sums.fews, 120),
    ("accurate", made_sums.accuracies, 40),
    ("tail_of_normal", made_sums.tails, 60),
    ("surround", made_sums.surroundings, 80),
    ("decide_on", made_sums.decisions(), 180),
    ("square_up", made_sums.squarings(), 80),
    ("stand_at", made_sums.stands, 30),
    ("measure_step", made_sums.value_steps(), 120),
    ("measure_step", made_sums.floor_steps(), 60),
    ("measure_step", made_sums.typed_square_steps(), 80),
    ("measure_step", made_sums.axis_steps(), 50),
    ("move_stand", made_sums.moves(), 80),
]
WANTED = 2_000

# What hardly any made case meets.
EDGES: dict[str, list[dict[str, Any]]] = {
    # More than a float holds: the smallest summand decides the last bit of the sum.
    "sum_up": [{"values": [2.0**53, 1.0, tiny]} for tiny in (2.0**-60, -(2.0**-60), 0.0)],
    "write_number": [{"value": value, "decimals": 0} for value in (0.49999999, -0.5, 1e-12, 2.4999999999)],
    # A guard band just as wide as the room: settles inside, not outside.
    "decide_on": [
        {"value": value, "u": 3.0, "low": None, "high": 0.0, "u_instrument": 0.0, "s": 2.0} for value in (-2.0, 2.0)
    ],
}


def alike(found: Any, wanted: Any) -> bool:
    if isinstance(wanted, dict) and isinstance(found, dict):
        return found.keys() == wanted.keys() and all(alike(found[key], wanted[key]) for key in wanted)
    if isinstance(wanted, list | tuple) and isinstance(found, list):
        return len(found) == len(wanted) and all(map(alike, found, wanted))
    if any(isinstance(one, bool) or not isinstance(one, int | float) for one in (found, wanted)):
        return type(found) is type(wanted) and bool(found == wanted)
    return isclose(found, wanted, rel_tol=1e-9, abs_tol=1e-11)


def answered(rule: Callable[[dict[str, Any]], Any], case: dict[str, Any]) -> dict[str, Any]:
    try:
        return {"out": rule(case)}
    except BaybookError as error:
        return error.as_dict()


def compared(mirror: Mirror, name: str, case: dict[str, Any]) -> dict[str, Any]:
    case = json.loads(json.dumps(case))
    wanted = answered(RULES[name], case)
    found = mirror.ask(name, case)
    assert alike(found, wanted), f"phone: {found}\nserver: {wanted}"
    return wanted


def agree(mirror: Mirror, name: str, cases: Cases, count: int) -> list[dict[str, Any]]:
    """Ask both sides the edges and as many made cases; return what the server answered."""
    answers: list[dict[str, Any]] = []

    @settings(
        max_examples=count,
        derandomize=True,
        database=None,
        deadline=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(cases)
    def ask(case: dict[str, Any]) -> None:
        answers.append(compared(mirror, name, case))

    answers += [compared(mirror, name, edge) for edge in EDGES.get(name, [])]
    ask()
    return answers


def test_enough_cases_are_made_for_every_rule() -> None:
    assert {name for name, _, _ in ASKED} == set(RULES)
    assert sum(count for _, _, count in ASKED) >= WANTED


@pytest.mark.parametrize(
    ("name", "cases", "count"), ASKED, ids=[f"{name}-{number}" for number, (name, _, _) in enumerate(ASKED)]
)
def test_phone_and_server_answer_alike(mirror: Mirror, name: str, cases: Cases, count: int) -> None:
    answers = agree(mirror, name, cases, count)
    assert len(answers) >= count * 0.9
