"""The shelf brings all that a phone needs to freeze any job of its vehicles, and no more drawings than it must."""

import json
from itertools import combinations
from typing import Any

import pytest

from webapp.core.freeze import freeze, make_sheet
from webapp.core.plan import Proposal
from webapp.core.procedure import Area, Library
from webapp.core.quantity import Quantity
from webapp.core.shelf import shelf
from webapp.messages import say

NAMES = ("forward-camera-static", "forward-radar-static", "surround-view")


def metres(text: str) -> Quantity:
    return Quantity.parse(text, "mm")


def with_areas(library: Library, *areas: tuple[str, str, str]) -> Library:
    """The library with one vehicle and these clear areas for its calibrations, in that order."""
    procedures = dict(library.procedures)
    for name, sides in zip(NAMES, areas, strict=True):
        ahead, behind, each_side = map(metres, sides)
        area = Area.model_construct(ahead=ahead, behind=behind, each_side=each_side)
        procedures[name] = procedures[name].model_copy(update={"area": area})
    wagon = library.vehicles["orvane-wagon"]
    wagon = wagon.model_copy(update={"specs": {name: wagon.specs[name] for name in NAMES}})
    return library.model_copy(update={"procedures": procedures, "vehicles": {wagon.vehicle: wagon}})


def test_every_set_of_calibrations_finds_its_drawings_however_their_areas_differ(library: Library) -> None:
    changed = with_areas(library, ("9 m", "1 m", "2 m"), ("4 m", "8 m", "3 m"), ("5 m", "2 m", "7 m"))
    drawings = shelf(changed, say)["drawings"]
    vehicle = changed.vehicles["orvane-wagon"]
    job = {"sort": "calibration", "qualifiers": {one.name: one.options[0].value for one in vehicle.qualifiers}}
    sets = [names for count in (1, 2, 3) for names in combinations(NAMES, count)]
    for names in sets:
        plan = [Proposal(name, ()) for name in names]
        found = freeze(changed, job, vehicle, plan, {}, drawings.__getitem__)
        assert found == make_sheet(changed, job, vehicle, plan, {}, say)
    areas = [key for key in drawings if json.loads(key)["drawing"] == "area"]
    assert len(areas) == len(sets)


def test_the_floor_is_drawn_once_a_vehicle_whatever_a_job_places_on_it(library: Library) -> None:
    floors = [key for key in shelf(library, say)["drawings"] if json.loads(key)["drawing"] == "floor"]
    assert len(floors) == len(library.vehicles)


def test_a_job_s_floor_shows_its_own_targets_and_no_others(library: Library) -> None:
    drawn: dict[tuple[str, ...], dict[str, str]] = {}
    vehicle = library.vehicles["orvane-wagon"]
    for names in (NAMES[:1], NAMES[1:2], NAMES):
        sheet = make_sheet(
            library, {"sort": "calibration", "qualifiers": {}}, vehicle, [Proposal(n, ()) for n in names], {}, say
        )
        drawn[names] = next(one["drawing"] for one in sheet["steps"] if one["id"] == "floor-survey/points")
        placed = [one["spot_name"] for group in sheet["placements"].values() for one in group]
        assert [f" at {spot}: " in drawn[names]["alt"] for spot in placed] == [True] * len(placed)
        assert drawn[names]["alt"].count("A target goes at") == len(placed)
        assert drawn[names]["alt"] in drawn[names]["svg"]
    assert len({one["svg"] for one in drawn.values()}) == 3


def test_the_shelf_is_json_with_its_quantities_as_numbers(library: Library) -> None:
    found: dict[str, Any] = json.loads(json.dumps(shelf(library, say), allow_nan=False))
    vehicle = next(one for one in found["vehicles"] if one["vehicle"] == "orvane-wagon")
    wanted = library.vehicles["orvane-wagon"].outline.wheelbase.value
    assert vehicle["outline"]["wheelbase"] == pytest.approx(wanted)
    assert [one["procedure"] for one in found["procedures"]] == list(library.procedures)
    survey = next(one for one in found["procedures"] if one["procedure"] == "floor-survey")
    assert (
        next(one for one in survey["steps"] if one["id"] == "survey")["measure"]["limits"]["along"]
        == "spec.floor-slope"
    )
