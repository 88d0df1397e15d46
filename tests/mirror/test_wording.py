"""A job's pages in another language are the same on both sides, and what is kept stays as it is."""

import json
from collections.abc import Iterator
from random import Random
from typing import Any

import pytest

from tests.mirror.conftest import Mirror
from tests.mirror.playing import plain, random_history
from tests.mirror.taps import some_sheet
from webapp.core.fold import fold
from webapp.core.freeze import make_sheet
from webapp.core.intake import new_facts, sheet_job
from webapp.core.lengths import INCHES, MM, Unit
from webapp.core.plan import planned
from webapp.core.procedure import Library
from webapp.core.sheet import Say, Sheet, content_hash
from webapp.core.shelf import lettering
from webapp.core.state import Clock
from webapp.core.view import job_page, more_page, steps_page, trouble_page
from webapp.core.wording import Wording
from webapp.library.load import load
from webapp.library.sources import sources
from webapp.library.translations import texts_of
from webapp.messages import Tongue, english, say, speak
from webapp.paths import PROCEDURES
from webapp.web import mustache

LIBRARY = load(PROCEDURES)
TEXTS = {node.text: f"«{node.text}» & más" for nodes in texts_of(sources(PROCEDURES)).values() for node in nodes}
FORMS = [
    ("{field}={value} must lie within {low} to {high}", "{field}={value}: entre {low} y {high}"),
    ("badge={code}: {name} is {role}; ask", "credencial={code}: pregunte a {name} ({role})"),
    ("a (b) [c] $x {one}|{one}? ^.", "{one}"),
]
SPANISH = Tongue("es", Wording(TEXTS, FORMS, ","))
MINUS, THIN = "\u2212", "\u202f"


@pytest.fixture(autouse=True)
def in_spanish() -> Iterator[None]:
    speak(SPANISH)
    yield
    speak(Tongue())


def drawn(vehicle: str) -> dict[str, str]:
    return lettering(LIBRARY, LIBRARY.vehicles[vehicle], english, SPANISH.say)


def wording(letters: dict[str, str]) -> dict[str, Any]:
    return {"texts": TEXTS, "forms": FORMS, "point": ",", "drawn": letters}


def shipped(vehicle: str, library: Library = LIBRARY, wording: Say = english) -> Sheet:
    """The sheet of a job with every calibration that the vehicle can have; its drawings in that language."""
    vin = f"{LIBRARY.vehicles[vehicle].vin[0].rstrip('*')}XXXXXXXXXXXXXXXXX"[:17].replace("?", "1")
    facts = new_facts(library, "0", vin) | {"vehicle": vehicle, "qualifiers": {}, "repair_order": "RO 7"}
    known = library.vehicles[vehicle]
    facts["qualifiers"] = {one.name: one.options[0].value for one in known.qualifiers}
    facts["plan"] = {"added": dict.fromkeys(known.specs, "for a test"), "struck": {}}
    return make_sheet(library, sheet_job(facts), known, planned(library, facts), {}, wording)


@pytest.mark.parametrize("seed", range(4))
def test_the_pages_of_a_job_read_the_same_on_both_sides(mirror: Mirror, seed: int) -> None:
    dice = Random(seed)
    vehicle = dice.choice([*LIBRARY.vehicles])
    sheet = shipped(vehicle) if seed % 2 else some_sheet(dice)
    letters = drawn(vehicle)
    history = random_history(dice, sheet, 60)
    worded, after, now = (
        SPANISH.wording.on(sheet, letters),
        [1, 20, 40, len(history.events)],
        Clock("2026-03-03T08:00:00.000Z", 1e7, "z"),
    )
    right = []
    for number in after:
        state = fold(sheet, history.events[:number])
        pages = [
            job_page(worded, state, now, say),
            *(page(worded, state, now, say) for page in (steps_page, trouble_page, more_page)),
        ]
        right += [mustache.render("page", page) for page in pages]
    asked = {
        "wording": wording(letters),
        "sheet": sheet,
        "events": plain(history.events),
        "after": after,
        "now": plain(now),
    }
    assert mirror.out("spokenPages", asked) == right
    assert any("«" in page for page in right)


def test_texts_figures_and_refusals_read_the_same_on_both_sides(mirror: Mirror) -> None:
    texts = [*[*TEXTS][:20], "1.5", f"{MINUS}1{THIN}506.25", "1.5.2", "v1.5", "1506", "", "1.5 mm", "no text"]
    refusals = [
        "yaw_deg=91.5 must lie within -10 to 10",
        f"badge=B1: {next(iter(TEXTS))} is technician; ask",
        "a (b) [c] $x 1|2? ^.",
        "other",
        [*TEXTS][1],
    ]
    sayings = [
        ["part", {}],
        ["minutes", {"count": 12000}],
        ["plan-area-text", {"length": 10.5, "width": 4.0, "ahead": 3.25, "behind": 0.0, "side": 1234.5, "unit": "m"}],
        ["advice-slide", {"length": "1.5 mm", "to": "left"}],
        ["measure-repeat", {"count": 12345}],
        ["limits-between", {"low": f"{MINUS}0.5", "high": "0.5", "unit": "°"}],
    ]
    found = mirror.out("spoken", {"wording": wording({}), "texts": texts, "refusals": refusals, "sayings": sayings})
    assert found["texts"] == [SPANISH.wording.of(one) for one in texts]
    assert found["refusals"] == [SPANISH.wording.sentence(one) for one in refusals]
    assert found["sayings"] == [say(name, **given) for name, given in sayings]
    assert found["refusals"][0] == "yaw_deg=91,5: entre -10 y 10"


@pytest.mark.parametrize("unit", [MM, INCHES])
@pytest.mark.parametrize("vehicle", LIBRARY.vehicles)
def test_every_drawing_is_as_drawn_in_that_language_and_the_sheet_itself_stays(vehicle: str, unit: Unit) -> None:
    library = LIBRARY.model_copy(update={"unit": unit})
    sheet = shipped(vehicle, library)
    before = content_hash(sheet)
    worded = SPANISH.wording.on(sheet, lettering(library, library.vehicles[vehicle], english, SPANISH.say))
    assert content_hash(sheet) == before
    found = [step["drawing"] for step in worded["steps"] if step["drawing"]]
    assert found == [step["drawing"] for step in shipped(vehicle, library, SPANISH.say)["steps"] if step["drawing"]]
    assert len(found) > 5
    for one in found:
        assert one["alt"].startswith("Visto desde ")
        assert "Seen from" not in one["svg"]
        assert "front axle" not in json.dumps(one)
