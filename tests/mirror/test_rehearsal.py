"""Whole jobs of every procedure that ships, played through on both sides; and the pages' HTML, byte for byte."""

from datetime import UTC, datetime
from hashlib import sha256
from random import Random
from typing import Any

import pytest

from tests.mirror.conftest import Mirror
from tests.mirror.playing import Played, agree, keep, pages, plain
from webapp.core.act import Draft
from webapp.core.errors import BadInput
from webapp.core.fold import fold
from webapp.core.freeze import make_sheet
from webapp.core.kinds.common import Moment, Person
from webapp.core.measure.judged import fields, read_all
from webapp.core.plan import Proposal
from webapp.core.procedure import KINDS, Library
from webapp.core.sheet import Sheet
from webapp.core.state import Clock
from webapp.library.load import load
from webapp.messages import say
from webapp.paths import PROCEDURES
from webapp.storage.rehearsal import Cast, Technician, mishaps_of
from webapp.storage.rehearsal.mishaps import Mishaps
from webapp.web import mustache

LIBRARY = load(PROCEDURES)
BEGIN = datetime(2026, 3, 2, 7, 30, tzinfo=UTC)
NOOR, ILYA = Person("AAA111", "technician", "Noor"), Person("BBB222", "apprentice", "Ilya")
ADA = Person("CCC333", "supervisor", "Ada")


def kit_of(library: Library) -> dict[str, Any]:
    """One piece of everything that the catalogue knows."""
    usual = {"condition": "good", "inspection_due": None}
    kinds = {"bay": "bay", "test-label": "test-label"}
    catalogue = library.catalogue
    known = [("target", *one) for one in catalogue.targets.items()] + [
        ("spot", *one) for one in catalogue.spots.items()
    ]
    return {
        f"K{n}": {"kind": kinds.get(name, role), "is": name, "name": one.name, **usual}
        for n, (role, name, one) in enumerate(known)
    }


class Watched(Technician):
    """A technician whose every tap is noted down, with the moment that it was made in."""

    played: Played

    def work(self) -> Any:
        self.played = Played(self.sheet, [], [], [], self.state)
        return super().work()

    def decide(self, given: dict[str, str], moment: Moment) -> Draft:
        keep(self.played, given, moment, moment.clock, "a")
        return super().decide(given, moment)


def worked(sheet: Sheet, number: int, person: Person) -> Played:
    dice = Random(number)
    cast = Cast(person, ADA, kit_of(LIBRARY), lambda words: sha256(words.encode()).hexdigest())
    technician = Watched(
        sheet, cast, mishaps_of(sheet, number, dice) if sheet["calibrations"] else Mishaps(), BEGIN, 0.8, dice
    )
    technician.work()
    return technician.played


def jobs() -> list[Any]:
    """A sheet of every vehicle with all its calibrations, for the first and the last answers; and the day's check."""
    job = {"id": "J", "repair_order": "RO-1", "vin": "", "bay": "B1", "reasons": [], "floor_plan": PLAN}
    made = []
    for name, vehicle in LIBRARY.vehicles.items():
        plan = [Proposal(one, ("collision-repair",)) for one in vehicle.specs]
        for which in (0, -1):
            answers = {one.name: one.options[which].value for one in vehicle.qualifiers}
            about = {**job, "sort": "calibration", "qualifiers": answers}
            sheet = plain(make_sheet(LIBRARY, about, vehicle, plan, {}, say))
            made.append(pytest.param(sheet, id=f"{name}-{which}"))
    day = make_sheet(LIBRARY, {**job, "sort": "day", "repair_order": "", "qualifiers": {}}, None, [], {}, say)
    return [*made, pytest.param(plain(day), id="day")]


PLAN = {
    "name": "Bay <1> & more",
    "corners": [[5000.0, 2100.5], [5000.0, -2100.0], [-3000.0, -2100.0], [-5800.25, 2100.0]],
    "obstacles": [
        {"name": "Pillar", "corners": [[1400.0, 2100.0], [1400.0, 1700.0], [900.0, 1700.0], [900.0, 2100.0]]},
        {"name": "Line", "corners": [[600.0, 0.25], [600.0, -0.25], [-0.125, -0.25], [0.125, 0.25]]},
        {"name": "Far away", "corners": [[29000.0, 0.0], [29000.0, -2000.0], [28000.0, 0.0]]},
    ],
}
"""A job's bay: its drawings have it under them on either side."""

JOBS = jobs()


@pytest.mark.parametrize("sheet", JOBS)
def test_a_whole_job_is_the_same_on_both_sides(mirror: Mirror, sheet: Sheet) -> None:
    for number, person in ((3, NOOR), (12, ILYA), (17, NOOR)):
        played = worked(sheet, number, person)
        played.look_after([len(played.taps) - 1])
        assert played.state.phase == "finished"
        agree(mirror, played)


def test_the_jobs_have_every_kind_of_step() -> None:
    assert {step["kind"] for one in JOBS for step in one.values[0]["steps"]} == set(KINDS)


@pytest.mark.parametrize("sheet", [JOBS[0], JOBS[-1]])
def test_every_page_of_a_whole_job_is_the_same_html_to_the_byte(mirror: Mirror, sheet: Sheet) -> None:
    played = worked(sheet, 3, ILYA)
    kinds: set[str] = set()
    for count in range(len(played.events) + 1):
        state = fold(sheet, played.events[:count])
        now = Clock("2026-03-02T23:00:00.000Z", (state.clock.mono_s if state.clock else 0) + 3.5, "boot-0")
        found = pages(sheet, state, now, {"do": "result", "outcome": "failed", "text": "<&>", "badge": '"'})
        again = [page for page in found.pop("seen") if page]
        half_way = count == len(played.events) // 2
        new = [*found.values(), *again] if half_way else [found["job"]]
        html = mirror.out("html", {"pages": plain(new)})
        assert html == [mustache.render("page", page) for page in new], count
        kinds |= {step["kind"] for page in new if (step := page.get("step"))}
    assert kinds == {step["kind"] for step in sheet["steps"]}


def test_words_with_variables_are_filled_in_alike(mirror: Mirror) -> None:
    counts = [0, 1, 2, 3, 11, 21, 1000, 1234567]
    asked = [[name, {"count": n, "settled": n, "of": n, "title": "T", "length": n, "to": "left"}]
             for name in ("step-undone", "job-line", "job-section-shared", "measure-repeat", "repeats-settle",
                          "result-failures", "advice-slide") for n in counts]  # fmt: skip
    assert mirror.out("sayings", {"asked": asked}) == [say(name, **variables) for name, variables in asked]


BEYOND = {"mm": "99999", "deg": "181", "mm/m": "99999", "km": "99999999"}
"""What no instrument of a workshop reads, by unit; of any other unit so much that it is beyond all of them."""


def measures() -> list[Any]:
    """Every measurement of every procedure that ships, each once."""
    found = {}
    for job in JOBS:
        for step in job.values[0]["steps"]:
            if step["kind"] == "measure":
                found[step["id"]] = step["measure"]
    return [pytest.param(measure, id=name) for name, measure in sorted(found.items())]


@pytest.mark.parametrize("measure", measures())
def test_a_reading_beyond_what_can_be_is_refused_by_field_and_value_on_both_sides(
    mirror: Mirror, measure: dict[str, Any]
) -> None:
    asked = fields(measure)
    usual = {name: "0" if allowed.low <= 0 else f"{allowed.low:g}" for name, _label, allowed in asked}
    for name, _label, allowed in asked:
        typed = BEYOND.get(allowed.unit, "99999999")
        with pytest.raises(BadInput) as refused:
            read_all(measure, usual | {name: typed})
        said = refused.value.as_dict()
        assert said["error"]["field"] == name
        assert said["error"]["message"].startswith(f"{name}='{typed}' must lie within {allowed.low:g} to ")
        assert mirror.ask("measure_step", {"measure": measure, "typed": [usual | {name: typed}]}) == said
