"""Freezing a job: the sheet holds all that the work needs, and nothing that changes afterwards changes it."""

import json
from typing import Any

import pytest

from webapp.core.errors import BadInput
from webapp.core.freeze import make_sheet
from webapp.core.plan import Proposal, decided, propose
from webapp.core.procedure import Library
from webapp.core.quantity import Quantity
from webapp.core.sheet import canonical, content_hash
from webapp.messages import say

CAMERA, RADAR, SURROUND = "forward-camera-static", "forward-radar-static", "surround-view"


def job(**more: Any) -> dict[str, Any]:
    about = {"id": "job-1", "sort": "calibration", "repair_order": "RO 1", "vin": "0RVWA4G2XK1000417"}
    usual = {"odometer_km": 48210, "reasons": ["windscreen-replaced"], "bay": None}
    return about | usual | {"qualifiers": {"driven-axles": "front", "wheel-size": "standard"}} | more


def frozen(
    library: Library,
    vehicle: str = "orvane-wagon",
    reasons: tuple[str, ...] = ("windscreen-replaced", "radar-replaced"),
    struck: dict[str, str] | None = None,
    added: dict[str, str] | None = None,
    **about: Any,
) -> dict[str, Any]:
    model = library.vehicles[vehicle]
    plan = decided(propose(library, model, reasons), added or {}, struck or {})
    return make_sheet(library, job(reasons=list(reasons), **about), model, plan, struck or {}, say)


def edited(library: Library, name: str, **more: Any) -> Library:
    procedure = library.procedures[name].model_copy(update=more)
    return library.model_copy(update={"procedures": {**library.procedures, name: procedure}})


def step(sheet: dict[str, Any], name: str) -> dict[str, Any]:
    found: dict[str, Any] = next(one for one in sheet["steps"] if one["id"] == name)
    return found


def test_a_sheet_is_plain_json_and_its_name_is_the_hash_of_its_one_spelling(library: Library) -> None:
    sheet = frozen(library)
    assert json.loads(canonical(sheet)) == sheet
    assert content_hash(json.loads(canonical(sheet))) == content_hash(sheet)
    assert content_hash({"b": 1, "a": "ä"}) == content_hash({"a": "ä", "b": 1})
    assert canonical({"b": 1, "a": "ä"}) == '{"a":"ä","b":1}'


def test_a_number_has_one_spelling_whatever_it_was_read_as() -> None:
    assert canonical({"a": [1500, 1500.0, 0.00005, 1e-7, 1e21]}) == '{"a":[1500,1500,0.00005,1e-7,1e+21]}'
    with pytest.raises(ValueError, match="nan"):
        canonical({"a": float("nan")})


def test_the_same_job_freezes_to_the_same_sheet(library: Library) -> None:
    assert content_hash(frozen(library)) == content_hash(frozen(library))


@pytest.mark.parametrize(
    "change", [{"title": "Another title"}, {"revision": 99}, {"steps": []}], ids=["title", "revision", "steps"]
)
def test_an_edited_procedure_makes_another_sheet_and_leaves_the_frozen_one(
    library: Library, change: dict[str, Any]
) -> None:
    sheet = frozen(library)
    before = content_hash(sheet)
    after = frozen(edited(library, "hand-over", **change))
    assert content_hash(after) != before
    assert content_hash(sheet) == before


def test_the_sections_stand_in_working_order_with_what_they_serve(library: Library) -> None:
    sections = {one["id"]: one for one in frozen(library)["sections"]}
    assert list(sections) == [
        "vehicle-ready",
        "bay-ready",
        "reference-axis",
        "floor-survey",
        CAMERA,
        RADAR,
        "clear-away",
        "hand-over",
    ]
    assert sections["floor-survey"]["calibrations"] == [CAMERA, RADAR]
    assert sections[RADAR]["calibrations"] == [RADAR]
    assert sections["hand-over"]["calibrations"] == [CAMERA, RADAR]
    in_order = dict.fromkeys(one["section"] for one in frozen(library)["steps"])
    assert list(in_order) == list(sections)


def test_a_calibration_carries_its_reasons_its_figures_source_and_revisions(library: Library) -> None:
    camera = frozen(library)["calibrations"][0]
    spec = library.vehicles["orvane-wagon"].specs[CAMERA]
    assert (camera["id"], camera["because"], camera["added"]) == (CAMERA, ["windscreen-replaced"], None)
    assert (camera["source"], camera["spec_revision"], camera["reference"]) == (
        spec.source,
        spec.revision,
        spec.reference,
    )
    assert camera["procedure_revision"] == library.procedures[CAMERA].revision


def test_what_was_added_and_struck_stands_on_the_sheet_with_its_reason(library: Library) -> None:
    sheet = frozen(library, struck={RADAR: "No radar fitted."}, added={SURROUND: "The mirror was knocked."})
    assert [one["id"] for one in sheet["calibrations"]] == [CAMERA, SURROUND]
    assert sheet["calibrations"][1]["added"] == "The mirror was knocked."
    assert [(one["id"], one["why"]) for one in sheet["struck"]] == [(RADAR, "No radar fitted.")]
    assert not any(one["section"] == RADAR for one in sheet["steps"])


def test_the_vehicles_own_figures_stand_in_the_steps(library: Library) -> None:
    wagon = library.vehicles["orvane-wagon"]
    square = step(frozen(library), f"{CAMERA}/square")["measure"]
    placed = frozen(library)["placements"][CAMERA]
    board = wagon.specs[CAMERA].placements[0]
    assert placed[0]["x_mm"] == board.x.value
    assert placed[0]["height_mm"] == (board.height.value if board.height else None)
    low, high = square["limits"]["distance_mm"]
    assert square["target"]["distance_mm"] == pytest.approx((low + high) / 2)
    assert square["track_mm"] > 1000


def test_a_qualifier_settles_its_steps_and_an_answer_given_on_the_way_does_not(library: Library) -> None:
    usual = {"driven-axles": "front", "radar-cover": "bumper"}
    steel = frozen(library, "tavisk-carrier", qualifiers={**usual, "ride-height": "steel-springs"})
    air = frozen(library, "tavisk-carrier", qualifiers={**usual, "ride-height": "air"})
    names = [{one["id"] for one in sheet["steps"]} for sheet in (steel, air)]
    assert names[1] - names[0] >= {"vehicle-ready/air-level", "vehicle-ready/air-settle"}
    assert names[0] < names[1]
    assert step(air, "vehicle-ready/air-settle")["only_if"] == {}
    assert step(air, f"{CAMERA}/laser-on")["only_if"] == {"placing": ["laser"]}


def test_a_scan_of_the_specs_pairs_names_target_and_spot_as_people_do(library: Library) -> None:
    pairs = step(frozen(library), f"{CAMERA}/hang-boards")["pairs"]
    assert pairs[0] == {
        "target": "camera-board-left",
        "target_name": library.catalogue.targets["camera-board-left"].name,
        "spot": "stand-left-arm",
        "spot_name": library.catalogue.spots["stand-left-arm"].name,
    }


def test_every_target_that_was_placed_is_scanned_home_once(library: Library) -> None:
    home = step(frozen(library), "clear-away/targets-home")["pairs"]
    targets = library.catalogue.targets
    assert [(one["target"], one["spot"]) for one in home] == [
        (name, targets[name].home) for name in ("camera-board-left", "camera-board-right", "radar-plate")
    ]


def test_where_nothing_was_placed_nothing_is_scanned_home_and_without_an_area_none_is_drawn(library: Library) -> None:
    wagon = library.vehicles["orvane-wagon"]
    bare = wagon.specs[CAMERA].model_copy(update={"placements": []})
    alone = edited(library, CAMERA, area=None)
    vehicle = wagon.model_copy(update={"specs": {CAMERA: bare}})
    sheet = make_sheet(alone, job(), vehicle, propose(alone, vehicle, ["windscreen-replaced"]), {}, say)
    assert "clear-away/targets-home" not in [one["id"] for one in sheet["steps"]]
    assert step(sheet, "bay-ready/clear-area")["drawing"] is None
    assert step(frozen(library), "bay-ready/clear-area")["drawing"] is not None


def test_a_cause_leads_to_a_step_of_this_job_or_nowhere(library: Library) -> None:
    sheet = frozen(library)
    known = {one["id"]: one["do"] for one in sheet["steps"]}
    causes = [cause for one in sheet["steps"] for cause in one["causes"]]
    assert len(causes) > 20
    assert all(cause["redo"] is None or known[cause["redo"]] == cause["back_to"] for cause in causes)


def test_cautions_and_drawings_are_on_the_sheet_itself(library: Library) -> None:
    chock = step(frozen(library), "reference-axis/chock")
    assert {"signal", "hazard", "do"} <= set(chock["cautions"][0])
    assert chock["drawing"]["svg"].startswith("<svg")
    assert chock["drawing"]["alt"]


def test_the_days_check_has_its_own_steps_and_no_vehicle(library: Library) -> None:
    about = job(sort="day", repair_order="", vin="", odometer_km=None, reasons=[], qualifiers={})
    sheet = make_sheet(library, about, None, [], {}, say)
    assert {one["section"] for one in sheet["steps"]} == {"equipment-check"}
    assert (sheet["vehicle"], sheet["calibrations"], sheet["area"]) == (None, [], None)


def test_a_figure_that_the_spec_lacks_is_named(library: Library) -> None:
    wagon = library.vehicles["orvane-wagon"]
    bare = wagon.model_copy(update={"figures": {}})
    with pytest.raises(BadInput) as refused:
        make_sheet(library, job(), bare, [Proposal(CAMERA, ("windscreen-replaced",))], {}, say)
    assert refused.value.code == "figure-missing"
    assert "is not among the vehicle's figures" in refused.value.message


def test_a_moved_board_changes_the_drawing_and_the_figures_together(library: Library) -> None:
    wagon = library.vehicles["orvane-wagon"]
    spec = wagon.specs[CAMERA]
    moved = spec.placements[0].model_copy(update={"x": Quantity(1700, "mm", "1700 mm")})
    specs = {**wagon.specs, CAMERA: spec.model_copy(update={"placements": [moved, *spec.placements[1:]]})}
    other = library.model_copy(
        update={"vehicles": {**library.vehicles, "orvane-wagon": wagon.model_copy(update={"specs": specs})}}
    )
    before, after = (step(frozen(one), f"{CAMERA}/stand-in") for one in (library, other))
    assert before["drawing"]["alt"] != after["drawing"]["alt"]
    assert before["drawing"]["svg"] != after["drawing"]["svg"]


def names_of(sheet: dict[str, Any], section: str) -> list[str]:
    return [one["id"].partition("/")[2] for one in sheet["steps"] if one["section"] == section]


def answered(library: Library, vehicle: str) -> dict[str, str]:
    return {one.name: one.options[0].value for one in library.vehicles[vehicle].qualifiers}


def test_where_parking_sensors_alone_are_checked_no_stand_is_fetched_and_no_floor_line_bared(library: Library) -> None:
    about = {"vehicle": "selmora-hatch", "reasons": (), "qualifiers": answered(library, "selmora-hatch")}
    alone = frozen(library, added={"parking-ultrasonic": "asked for"}, **about)
    assert {"sweep-floor", "chocks-here"} <= set(names_of(alone, "bay-ready"))
    assert not {"sweep", "light", "kit-here"} & set(names_of(alone, "bay-ready"))
    assert "floor-clear" not in names_of(alone, "clear-away")
    assert "chocks-out" in names_of(alone, "clear-away")
    both = frozen(library, added={"parking-ultrasonic": "asked for", CAMERA: "asked for"}, **about)
    assert {"sweep", "light", "kit-here"} <= set(names_of(both, "bay-ready"))
    assert not {"sweep-floor", "chocks-here"} & set(names_of(both, "bay-ready"))


def test_chocks_are_asked_back_only_where_some_were_set(library: Library) -> None:
    about = {"vehicle": "selmora-hatch", "reasons": (), "qualifiers": answered(library, "selmora-hatch")}
    drive = frozen(library, added={"forward-camera-dynamic": "asked for"}, **about)
    assert "chocks-out" not in names_of(drive, "clear-away")
    heights = frozen(library, added={"ride-height-zero": "asked for"}, **about)
    assert "chocks-out" in names_of(heights, "clear-away")


def test_ride_heights_are_held_against_their_limits_only_after_their_zeroing(library: Library) -> None:
    about = {"vehicle": "selmora-hatch", "reasons": (), "qualifiers": answered(library, "selmora-hatch")}
    without = frozen(library, added={CAMERA: "asked for"}, **about)
    assert "ride-heights" in names_of(without, "vehicle-ready")
    zeroed = frozen(library, added={CAMERA: "asked for", "ride-height-zero": "asked for"}, **about)
    assert "ride-heights" not in names_of(zeroed, "vehicle-ready")
    order = names_of(zeroed, "ride-height-zero")
    assert order.index("heights-found") < order.index("run") < order.index("heights-now")


def test_every_limit_of_a_sheet_says_where_it_comes_from(library: Library) -> None:
    sheet, model = frozen(library), library.vehicles["orvane-wagon"]
    spec = model.specs[CAMERA]
    square = next(
        one["measure"] for one in sheet["steps"] if one["section"] == CAMERA and one.get("measure", {}).get("bar_mm")
    )
    assert square["from"]["distance_mm"] == {"source": spec.source, "revision": spec.revision}
    heights = step(sheet, "vehicle-ready/ride-heights")["measure"]
    own = {"source": model.source, "revision": model.revision}
    assert [one["from"] for one in (*heights["readings"], *heights["compare"])] == [own] * 6


def test_a_shop_in_inches_has_its_drawings_in_inches_and_its_figures_in_mm(library: Library) -> None:
    inches = frozen(library.model_copy(update={"unit": "in"}))
    plain = frozen(library)
    assert "unit" not in plain, "what a sheet in mm is called hangs on no setting"
    assert inches["unit"] == "in"
    drawn = next(one for one in inches["steps"] if one["section"] == CAMERA and one["drawing"])
    assert say("drawing-seen-from-above", unit="in") in drawn["drawing"]["alt"]
    assert "59\u00a01/16" in drawn["drawing"]["svg"], "1500 mm"
    assert [one.get("measure", {}).get("limits") for one in inches["steps"]] == [
        one.get("measure", {}).get("limits") for one in plain["steps"]
    ]
