"""Jobs planned and frozen by the phone from the shelf alone are the very jobs that the server plans and freezes."""

import json
from collections.abc import Iterator
from dataclasses import asdict
from itertools import combinations, product
from random import Random
from typing import Any

import pytest

from tests.mirror.conftest import Mirror
from webapp.core.errors import BadInput
from webapp.core.freeze import make_sheet
from webapp.core.plan import (
    Proposal,
    area_needed,
    decided,
    expected_s,
    kit_needed,
    propose,
    usual_answers,
    vehicles_for,
    working_order,
)
from webapp.core.procedure import REASONS, Approval, Library, Vehicle
from webapp.core.sheet import canonical, content_hash
from webapp.core.shelf import plain, shelf
from webapp.library.load import load
from webapp.messages import say
from webapp.paths import PROCEDURES

LIBRARY = load(PROCEDURES)
SHELF = json.loads(canonical(shelf(LIBRARY, say)))  # a canonical spelling sorts its keys: no order may hang on them


@pytest.fixture
def stocked(mirror: Mirror) -> Mirror:
    assert mirror.out("takeShelf", SHELF) == len(LIBRARY.procedures)
    return mirror


def answers(vehicle: Vehicle) -> Iterator[dict[str, str]]:
    names = [one.name for one in vehicle.qualifiers]
    for values in product(*([option.value for option in one.options] for one in vehicle.qualifiers)):
        yield dict(zip(names, values, strict=True))


MOST_JOBS = 200


def jobs_of(vehicle: Vehicle) -> list[tuple[tuple[str, ...], dict[str, str]]]:
    """Each set of calibrations with each way to answer; where those are too many, all sizes of sets by dice."""
    specs, ways = [*reversed(vehicle.specs)], [*answers(vehicle)]
    if 2 ** len(specs) * len(ways) <= MOST_JOBS:
        return [*product((one for count in range(len(specs) + 1) for one in combinations(specs, count)), ways)]
    dice = Random(vehicle.vehicle)
    sizes = [0, len(specs), *[1] * len(specs), *(dice.randint(1, len(specs)) for _ in range(MOST_JOBS))][:MOST_JOBS]
    alone = dict(zip(range(2, 2 + len(specs)), specs, strict=True))
    return [
        ((alone[n],) if n in alone else tuple(dice.sample(specs, size)), dice.choice(ways))
        for n, size in enumerate(sizes)
    ]


@pytest.mark.parametrize("vehicle", LIBRARY.vehicles.values(), ids=lambda one: one.vehicle)
def test_every_sort_of_job_freezes_to_the_same_hash(stocked: Mirror, vehicle: Vehicle) -> None:
    made = set()
    for names, qualifiers in jobs_of(vehicle):
        plan = [Proposal(name, ("collision-repair",), "asked for" if n else None) for n, name in enumerate(names)]
        struck = {name: "No such sensor fitted." for name in vehicle.specs if name not in names}
        job = {"id": "J1", "sort": "calibration", "repair_order": "RO 7", "qualifiers": qualifiers, "odometer_km": 12.5}
        hashed = content_hash(make_sheet(LIBRARY, job, vehicle, plan, struck, say))
        question = {"job": job, "vehicle": vehicle.vehicle, "plan": [asdict(one) for one in plan], "struck": struck}
        assert stocked.out("sheetHash", question) == hashed, (names, qualifiers)
        made.add(hashed)
    assert len(made) >= min(2 ** len(vehicle.specs), MOST_JOBS // 2)


def test_a_shops_own_vehicle_freezes_to_the_same_sheet_and_says_who_approved_it(mirror: Mirror) -> None:
    approval = Approval(revision=4, by="Ada Pereira", at="2026-03-02T08:00:00.000Z")
    own = LIBRARY.model_copy(update={"approvals": {"orvane-wagon": approval}})
    mirror.out("takeShelf", json.loads(canonical(shelf(own, say))))
    job = {"id": "J3", "sort": "calibration", "repair_order": "RO 8", "qualifiers": {}, "bay": None}
    for name, approved in (("orvane-wagon", approval.model_dump()), ("tavisk-carrier", None)):
        vehicle = own.vehicles[name]
        plan = [Proposal(next(iter(vehicle.specs)), ())]
        wanted = make_sheet(own, job, vehicle, plan, {}, say)
        assert wanted["vehicle"].get("approved") == approved
        question = {"job": job, "vehicle": name, "plan": [asdict(one) for one in plan]}
        assert mirror.out("sheet", question) == json.loads(canonical(wanted))


def test_a_shop_in_inches_freezes_the_same_sheets_with_drawings_in_inches(mirror: Mirror) -> None:
    inches = LIBRARY.model_copy(update={"unit": "in"})
    mirror.out("takeShelf", json.loads(canonical(shelf(inches, say))))
    job = {"id": "J1", "sort": "calibration", "repair_order": "RO 7", "odometer_km": 12.5}
    for vehicle in inches.vehicles.values():
        plan = [Proposal(name, ("collision-repair",)) for name in vehicle.specs]
        qualifiers = next(answers(vehicle))
        sheet = make_sheet(inches, job | {"qualifiers": qualifiers}, vehicle, plan, {}, say)
        question = {"job": job | {"qualifiers": qualifiers}, "vehicle": vehicle.vehicle}
        found = mirror.out("sheetHash", {**question, "plan": [asdict(one) for one in plan], "struck": {}})
        assert found == content_hash(sheet)
        assert content_hash(make_sheet(LIBRARY, job | {"qualifiers": qualifiers}, vehicle, plan, {}, say)) != found
        told = [step["drawing"]["alt"] for step in sheet["steps"] if step["drawing"]]
        assert not [alt for alt in told if " mm" in alt]
        assert [alt for alt in told if say("drawing-seen-from-above", unit="in") in alt]


def test_the_days_check_freezes_to_the_same_sheet(stocked: Mirror) -> None:
    job = {"id": "J2", "sort": "day", "repair_order": "", "qualifiers": {}, "bay": None}
    wanted = make_sheet(LIBRARY, job, None, [], {}, say)
    assert stocked.out("sheet", {"job": job, "vehicle": None, "plan": []}) == json.loads(canonical(wanted))


def test_any_reasons_and_changes_make_the_same_plan(stocked: Mirror) -> None:
    dice = Random("plans")
    for _ in range(60):
        vehicle = dice.choice(list(LIBRARY.vehicles.values()))
        reasons = dice.sample(REASONS, dice.randrange(4))
        struck = dict.fromkeys(dice.sample(list(vehicle.specs), dice.randrange(2)), "no")
        added = dict.fromkeys(dice.sample([one for one in vehicle.specs if one not in struck], 1), "yes")
        given = {"vehicle": vehicle.vehicle, "vin": f"{vehicle.vin[0][:5]}{dice.randrange(10**12):012}"}
        qualifiers = dice.choice([{}, *answers(vehicle)])
        asked = {**given, "reasons": reasons, "added": added, "struck": struck, "qualifiers": qualifiers}
        assert stocked.out("planned", asked) == json.loads(json.dumps(planned(vehicle, asked)))


def planned(vehicle: Vehicle, asked: dict[str, Any]) -> dict[str, Any]:
    due = propose(LIBRARY, vehicle, asked["reasons"])
    plan = decided(due, asked["added"], asked["struck"])
    names = [one.procedure for one in plan]
    known = usual_answers(LIBRARY.procedures.values()) | asked["qualifiers"]
    return {
        "fits": [one.vehicle for one in vehicles_for(LIBRARY, asked["vin"])],
        "due": [asdict(one) for one in due],
        "decided": [asdict(one) for one in plan],
        "order": [
            (one.procedure, expected_s(one, known, [each.procedure for each in order]))
            for order in [working_order(LIBRARY, names)]
            for one in order
        ],
        "kit": [asdict(one) for one in kit_needed(vehicle, names)],
        "area": area_needed(LIBRARY, names),
    }


def changed(name: str, **more: Any) -> Library:
    procedure = LIBRARY.procedures[name].model_copy(update=more)
    return LIBRARY.model_copy(update={"procedures": {**LIBRARY.procedures, name: procedure}})


def test_what_cannot_be_frozen_is_refused_with_the_same_words(mirror: Mirror) -> None:
    wagon = LIBRARY.vehicles["orvane-wagon"]
    names = ("forward-camera-static", "forward-radar-static")
    plan = [Proposal(name, ()) for name in names]
    job = {"id": "J", "sort": "calibration", "qualifiers": {}}
    question = {"job": job, "vehicle": wagon.vehicle, "plan": [asdict(one) for one in plan]}
    circle = changed(names[0], after=[names[1]]), wagon
    bare = LIBRARY, wagon.model_copy(update={"figures": {}})
    for library, vehicle in (circle, bare):
        mirror.out(
            "takeShelf", SHELF | {"procedures": plain([*library.procedures.values()]), "vehicles": plain([vehicle])}
        )
        with pytest.raises(BadInput) as refused:
            make_sheet(library, job, vehicle, plan, {}, say)
        assert mirror.ask("sheet", question) == refused.value.as_dict()


def test_a_drawing_that_the_shelf_lacks_is_named(mirror: Mirror) -> None:
    mirror.out("takeShelf", {**SHELF, "drawings": {}})
    job = {"id": "J", "sort": "calibration", "qualifiers": {}}
    question = {"job": job, "vehicle": "orvane-wagon", "plan": [asdict(Proposal("surround-view", ()))]}
    error = mirror.ask("sheet", question)["error"]
    assert (error["code"], error["field"]) == ("drawing-missing", "drawing")
    assert error["message"].startswith("drawing=area of this vehicle is not on the phone")


def test_any_json_is_spelled_alike(mirror: Mirror) -> None:
    dice = Random("spelled")
    numbers = [dice.choice((1, -1)) * dice.random() * 10.0 ** dice.randrange(-12, 25) for _ in range(300)]
    edge = [0.0, -0.0, 1e21, 1e-7, 123456789012345.6, 2**53 - 1, -1.5e300, 5e-324]
    text = ['ä\u2028\x7f\x1f"\\/\b', "\U0001f527", "\ufb33", "", "__proto__"]
    value = {"numbers": [*numbers, *edge], "keys": {name: [None, True, {}] for name in text}}
    assert mirror.out("spelled", value) == canonical(value)
