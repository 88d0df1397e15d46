"""Who reads the short text; and that nothing else of a page hangs on it."""

from dataclasses import replace
from typing import Any

import pytest

from tests.sheets import APPRENTICE, SUPERVISOR, TECHNICIAN
from webapp.core.errors import BadInput, NotAllowed
from webapp.core.freeze import make_sheet
from webapp.core.kinds.common import Person
from webapp.core.plan import Proposal
from webapp.core.procedure import Library
from webapp.core.short import chosen, procedure_of
from webapp.core.state import Clock, JobState
from webapp.core.view import job_page, step_page
from webapp.core.view.short import for_reader
from webapp.messages import english, say

NOW = Clock("2026-03-02T08:00:00.000Z", 1.0, "b")


@pytest.fixture(scope="module")
def sheets(library: Library) -> list[dict[str, Any]]:
    """A job of every calibration of every vehicle, in which no qualifier is known: every step of every way stands."""
    job: dict[str, Any] = {
        "id": "j",
        "sort": "calibration",
        "repair_order": "",
        "vin": "",
        "qualifiers": {},
        "bay": None,
    }
    made = []
    for vehicle in library.vehicles.values():
        plan = [Proposal(name, ()) for name in vehicle.specs]
        made.append(make_sheet(library, job, vehicle, plan, {}, english))
    return made


def reading(person: Person, sheet: dict[str, Any]) -> Person:
    """The same person, who reads the short text of all that is on the sheet."""
    return replace(person, short=tuple(sorted({step["section"] for step in sheet["steps"]})))


def pages(sheet: dict[str, Any], step: dict[str, Any]) -> tuple[dict[str, Any], dict[str, Any]]:
    answers = {name: values[0] for name, values in step["only_if"].items()}
    state = JobState(phase="open", current=step["id"], answers=answers)
    seen = step_page(sheet, state, step["id"], NOW, say)
    assert seen is not None
    return job_page(sheet, state, NOW, say), seen


def test_a_short_text_changes_the_sentence_of_a_step_and_nothing_else_of_its_page(
    sheets: list[dict[str, Any]],
) -> None:
    shortened = 0
    for sheet in sheets:
        for step in sheet["steps"]:
            for page, part in zip(pages(sheet, step), ("step", "seen"), strict=True):
                short = for_reader(page, sheet, reading(APPRENTICE, sheet))
                if step["short"] is None:
                    assert short == page
                    continue
                shortened += 1
                assert (short[part]["do"], short[part]["full"]) == (step["short"], step["do"])
                assert short | {part: {**short[part], "do": step["do"]}} == page | {
                    part: {**page[part], "full": step["do"]}
                }
    assert shortened > 1000


def test_whoever_has_not_chosen_reads_the_full_text_of_that_procedure(sheets: list[dict[str, Any]]) -> None:
    sheet = sheets[0]
    step = next(one for one in sheet["steps"] if one["short"])
    page, seen = pages(sheet, step)
    assert for_reader(page, sheet, None) == page
    assert for_reader(page, sheet, APPRENTICE) == page
    others = replace(TECHNICIAN, short=("another-procedure",))
    assert for_reader(page, sheet, others) == page | {"step": page["step"] | {"texts": {"short": False}}}
    assert for_reader(seen, sheet, others) == seen
    assert for_reader(page, sheet, reading(TECHNICIAN, sheet))["step"]["texts"] == {"short": True}
    assert "texts" not in for_reader(page, sheet, reading(APPRENTICE, sheet))["step"]


def test_a_page_without_a_step_is_left_as_it_is() -> None:
    page = {"job": "j", "paused": {"reason": "Break"}}
    assert for_reader(page, {"steps": []}, TECHNICIAN) == page


def test_a_choice_adds_one_procedure_or_takes_it_away() -> None:
    assert chosen(TECHNICIAN, "radar", "short") == ("radar",)
    both = replace(SUPERVISOR, short=("axis", "radar"))
    assert chosen(both, "axis", "short") == ("axis", "radar")
    assert chosen(both, "axis", "full") == ("radar",)
    assert chosen(both, "floor", "full") == ("axis", "radar")
    assert chosen(both, "floor", "short") == ("axis", "floor", "radar")


def test_what_cannot_be_chosen_is_refused_with_what_to_do(sheets: list[dict[str, Any]]) -> None:
    with pytest.raises(BadInput, match="texts='long' must be one of full, short"):
        chosen(TECHNICIAN, "radar", "long")
    with pytest.raises(NotAllowed, match="nobody's badge was scanned on this phone"):
        chosen(None, "radar", "short")
    with pytest.raises(NotAllowed, match="texts=short: an apprentice's texts are set on the people's page"):
        chosen(APPRENTICE, "radar", "short")
    with pytest.raises(BadInput, match="step='x' is not on this job's sheet"):
        procedure_of(sheets[0], "x")
    assert procedure_of(sheets[0], sheets[0]["steps"][0]["id"]) == sheets[0]["steps"][0]["section"]
