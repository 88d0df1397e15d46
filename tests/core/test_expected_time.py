"""How long a procedure takes by its own figures, before the shop has finished jobs to tell better."""

from typing import Any

from webapp.core.plan import expected_s, usual_answers
from webapp.core.procedure import Procedure


def _step(name: str, expect: str, **more: Any) -> dict[str, Any]:
    return {"id": name, "do": "Do it.", "why": "Since.", "kind": "confirm", "button": "Done", "expect": expect, **more}


PROCEDURE = Procedure.model_validate(
    {
        "procedure": "place-it",
        "title": "Place it",
        "revision": 1,
        "sort": "set-up",
        "steps": [
            _step(
                "how",
                "10 s",
                kind="choose",
                asks="placing",
                options=[{"value": "tape", "label": "Tape"}, {"value": "laser", "label": "Laser"}],
            ),
            _step("tapes", "5 min", **{"only-if": {"placing": "tape"}}),
            _step("laser", "3 min", **{"only-if": {"placing": "laser"}}),
            _step("air", "2 min", **{"only-if": {"ride-height": "air"}}),
        ],
    }
)


def _expected_s(**qualifiers: str) -> float:
    return expected_s(PROCEDURE, usual_answers([PROCEDURE]) | qualifiers)


def test_of_two_ways_only_the_usual_one_counts() -> None:
    assert _expected_s(**{"ride-height": "steel"}) == 10 + 300


def test_a_qualifier_brings_its_steps_along() -> None:
    assert _expected_s(**{"ride-height": "air"}) == 10 + 300 + 120


def test_a_vehicle_that_is_not_asked_has_no_part_in_it() -> None:
    assert _expected_s() == 10 + 300


def test_an_answer_of_an_earlier_procedure_counts_as_usual_too() -> None:
    other = PROCEDURE.model_copy(update={"procedure": "other", "steps": PROCEDURE.steps[1:]})
    assert expected_s(other, usual_answers([PROCEDURE, other])) == 300
    assert expected_s(other, {}) == 0
