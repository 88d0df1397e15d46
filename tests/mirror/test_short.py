"""The phone shows the same text to the same reader as the server does, and takes the same choice."""

from dataclasses import asdict, replace
from typing import Any

import pytest

from tests.mirror.conftest import Mirror
from tests.mirror.playing import plain
from tests.sheets import APPRENTICE, SUPERVISOR, TECHNICIAN
from webapp.core.errors import BaybookError
from webapp.core.freeze import make_sheet
from webapp.core.plan import Proposal
from webapp.core.procedure import Library
from webapp.core.short import chosen, procedure_of
from webapp.core.state import Clock, JobState
from webapp.core.view import job_page, step_page
from webapp.core.view.short import for_reader
from webapp.messages import english, say
from webapp.web import mustache

NOW = Clock("2026-03-02T08:00:00.000Z", 1.0, "b")


@pytest.fixture(scope="module")
def sheet(library: Library) -> dict[str, Any]:
    """All that can be due on one vehicle, with every step of every way."""
    vehicle = max(library.vehicles.values(), key=lambda one: len(one.specs))
    job: dict[str, Any] = {
        "id": "j",
        "sort": "calibration",
        "repair_order": "",
        "vin": "",
        "qualifiers": {},
        "bay": None,
    }
    return make_sheet(library, job, vehicle, [Proposal(name, ()) for name in vehicle.specs], {}, english)


def test_every_step_is_shown_alike_to_every_reader(mirror: Mirror, sheet: dict[str, Any]) -> None:
    sections = {step["section"] for step in sheet["steps"]}
    readers = [
        reader and replace(reader, short=short)
        for reader in (None, TECHNICIAN, APPRENTICE)
        for short in ((), tuple(sorted(sections)[::2]), tuple(sorted(sections)))
    ]
    known = {**sheet, "steps": [one | {"drawing": None} for one in sheet["steps"]]}
    for step in known["steps"]:
        answers = {name: values[0] for name, values in step["only_if"].items()}
        state = JobState(phase="open", current=step["id"], answers=answers)
        for page in (job_page(known, state, NOW, say), step_page(known, state, step["id"], NOW, say)):
            right = [for_reader(page or {}, known, one) for one in readers]
            asked = {"page": plain(page), "sheet": {"steps": [step]}, "readers": plain(readers)}
            assert mirror.out("forReaders", asked) == plain(right)
            assert mirror.out("html", {"pages": plain(right)}) == [mustache.render("page", one) for one in right]


@pytest.mark.parametrize("person", [None, TECHNICIAN, APPRENTICE, replace(SUPERVISOR, short=("b", "work"))])
@pytest.mark.parametrize("texts", ["short", "full", "long", ""])
@pytest.mark.parametrize("step", ["work/one", "work/none"])
def test_a_choice_is_taken_or_refused_alike(mirror: Mirror, person: Any, texts: str, step: str) -> None:
    sheet = {"steps": [{"id": "work/one", "section": "work"}]}
    answer = mirror.ask("choices", {"sheet": sheet, "person": person and asdict(person), "step": step, "texts": texts})
    try:
        right: dict[str, Any] = {"out": [*chosen(person, procedure_of(sheet, step), texts)]}
    except BaybookError as refused:
        right = refused.as_dict()
    assert answer == right
