"""The plan: which calibrations a repair calls for, in which order, and what they need."""

from itertools import permutations

import pytest

from webapp.core.errors import BadInput
from webapp.core.plan import (
    Proposal,
    area_needed,
    decided,
    holds,
    kit_needed,
    planned,
    propose,
    vehicles_for,
    working_order,
)
from webapp.core.procedure import Library, Vehicle

CAMERA, RADAR, SURROUND = "forward-camera-static", "forward-radar-static", "surround-view"
LIDAR, NIGHT = "forward-lidar", "night-view-camera"
SET_UP = ["vehicle-ready", "bay-ready", "reference-axis", "floor-survey"]
CLOSING = ["clear-away", "hand-over"]


@pytest.fixture
def wagon(library: Library) -> Vehicle:
    return library.vehicles["orvane-wagon"]


def names(library: Library, *calibrations: str) -> list[str]:
    return [one.procedure for one in working_order(library, calibrations)]


def changed(library: Library, name: str, **more: object) -> Library:
    """The library with one procedure edited."""
    edited = library.procedures[name].model_copy(update=more)
    return library.model_copy(update={"procedures": {**library.procedures, name: edited}})


def test_a_vin_leads_to_the_models_whose_pattern_it_matches(library: Library) -> None:
    assert [one.vehicle for one in vehicles_for(library, "0RVWA4G2XK1000417")] == ["orvane-wagon"]
    assert vehicles_for(library, "YZ9RV4WF7R1000042") == []


def test_what_was_added_is_planned_for_as_long_as_the_vehicle_has_figures_for_it(
    library: Library, wagon: Vehicle
) -> None:
    plan = {"added": {SURROUND: "Asked for", "gone-since": "Asked for"}, "struck": {}}
    facts = {"vehicle": "orvane-wagon", "reasons": ["windscreen-replaced"], "plan": plan}
    assert [one.procedure for one in planned(library, facts)] == [CAMERA, SURROUND]
    specs = {name: one for name, one in wagon.specs.items() if name != SURROUND}
    without = {**library.vehicles, "orvane-wagon": wagon.model_copy(update={"specs": specs})}
    assert [one.procedure for one in planned(library.model_copy(update={"vehicles": without}), facts)] == [CAMERA]


def test_a_repair_calls_for_calibrations_each_with_the_reasons_that_do(library: Library, wagon: Vehicle) -> None:
    assert propose(library, wagon, ["windscreen-replaced"]) == [Proposal(CAMERA, ("windscreen-replaced",))]
    both = propose(library, wagon, ["radar-replaced", "wheel-alignment-adjusted"])
    assert {one.procedure: one.because for one in both} == {
        CAMERA: ("wheel-alignment-adjusted",),
        RADAR: ("radar-replaced", "wheel-alignment-adjusted"),
        LIDAR: ("wheel-alignment-adjusted",),
        NIGHT: ("wheel-alignment-adjusted",),
    }


def test_nothing_is_due_without_a_reason_that_calls_for_it(library: Library, wagon: Vehicle) -> None:
    assert propose(library, wagon, []) == []
    assert propose(library, wagon, ["battery-disconnected"]) == []


def test_what_the_vehicle_has_no_spec_for_is_not_proposed(library: Library, wagon: Vehicle) -> None:
    without = wagon.model_copy(update={"specs": {RADAR: wagon.specs[RADAR]}})
    assert [one.procedure for one in propose(library, without, ["collision-repair"])] == [RADAR]


def test_adding_and_striking_keep_their_reasons(library: Library, wagon: Vehicle) -> None:
    due = propose(library, wagon, ["windscreen-replaced", "radar-replaced"])
    plan = decided(due, {SURROUND: "The mirror was knocked."}, {RADAR: "No radar fitted."})
    assert plan == [
        Proposal(CAMERA, ("windscreen-replaced",)),
        Proposal(SURROUND, (), "The mirror was knocked."),
    ]


def test_adding_what_is_due_already_doubles_nothing(library: Library, wagon: Vehicle) -> None:
    due = propose(library, wagon, ["windscreen-replaced"])
    assert decided(due, {CAMERA: "To be sure."}, {}) == due


def test_shared_set_up_is_done_once_and_first_and_closing_last(library: Library) -> None:
    assert names(library, CAMERA, RADAR, SURROUND) == [*SET_UP, CAMERA, RADAR, SURROUND, *CLOSING]
    assert names(library, RADAR) == [*SET_UP, RADAR, *CLOSING]


def test_the_order_does_not_depend_on_how_it_was_asked_for(library: Library) -> None:
    orders = {tuple(names(library, *one)) for one in permutations((CAMERA, RADAR, SURROUND))}
    assert len(orders) == 1


def test_what_comes_after_something_waits_for_it(library: Library) -> None:
    turned = changed(changed(library, CAMERA, after=[RADAR]), RADAR, after=[])
    order = names(turned, CAMERA, RADAR)
    assert order.index(RADAR) < order.index(CAMERA)


def test_static_comes_before_dynamic_where_nothing_else_decides(library: Library) -> None:
    road = changed(changed(library, CAMERA, mode="dynamic"), RADAR, after=[])
    order = names(road, CAMERA, RADAR)
    assert order.index(RADAR) < order.index(CAMERA)


def test_a_value_is_reset_before_what_stands_on_it_and_a_check_waits_until_all_is_aimed(library: Library) -> None:
    reset = changed(changed(library, RADAR, after=[]), SURROUND, mode="reset", set_up=["vehicle-ready"], after=[])
    later = changed(changed(reset, "reference-axis", after=["bay-ready", SURROUND]), CAMERA, mode="check")
    ready, bay, axis, floor = SET_UP
    assert names(later, CAMERA, SURROUND, RADAR) == [ready, bay, SURROUND, axis, floor, RADAR, CAMERA, *CLOSING]


def test_a_drive_may_wait_until_the_floor_is_cleared(library: Library) -> None:
    road = changed(library, RADAR, mode="dynamic", set_up=["vehicle-ready"], after=["clear-away"])
    cleared, handed_over = CLOSING
    assert names(road, CAMERA, RADAR) == [*SET_UP, CAMERA, cleared, RADAR, handed_over]
    assert names(road, RADAR) == ["vehicle-ready", cleared, RADAR, handed_over]


def test_what_a_calibration_stands_on_comes_before_it_whatever_its_sort(library: Library) -> None:
    odd = changed(library, "floor-survey", sort="closing")
    order = names(odd, CAMERA)
    assert order.index("floor-survey") < order.index(CAMERA)


def test_an_order_that_goes_round_in_a_circle_is_refused_and_named(library: Library) -> None:
    circle = changed(library, CAMERA, after=[RADAR])
    with pytest.raises(BadInput) as refused:
        working_order(circle, [CAMERA, RADAR])
    assert (refused.value.code, refused.value.field) == ("order-cycle", "after")
    assert CAMERA in refused.value.message
    assert RADAR in refused.value.message


def test_a_circle_among_procedures_that_are_not_both_due_is_none(library: Library) -> None:
    circle = changed(library, CAMERA, after=[RADAR])
    assert CAMERA in names(circle, CAMERA)


def test_the_kit_is_every_target_with_its_spot_and_the_calibration_that_asks(library: Library, wagon: Vehicle) -> None:
    needs = kit_needed(wagon, [CAMERA, RADAR])
    assert [(one.target, one.spot, one.calibration) for one in needs] == [
        ("camera-board-left", "stand-left-arm", CAMERA),
        ("camera-board-right", "stand-right-arm", CAMERA),
        ("radar-plate", "stand-centre", RADAR),
    ]


def test_the_floor_asked_for_serves_every_calibration_of_the_job(library: Library) -> None:
    single = [area_needed(library, [one]) for one in (CAMERA, RADAR, SURROUND)]
    together = area_needed(library, [CAMERA, RADAR, SURROUND])
    assert together == {
        key: max(one[key] for one in single if one) for key in ("ahead_mm", "behind_mm", "each_side_mm")
    }
    assert area_needed(library, []) is None


@pytest.mark.parametrize(
    ("condition", "known", "stands"),
    [
        ({}, {}, True),
        ({"placing": "tape"}, {}, True),  # not answered yet: the step stands until it is
        ({"placing": "tape"}, {"placing": "tape"}, True),
        ({"placing": "tape"}, {"placing": "laser"}, False),
        ({"placing": ["tape", "laser"]}, {"placing": "laser"}, True),
        ({"placing": "tape", "fuel": "low"}, {"placing": "tape", "fuel": "full"}, False),
    ],
)
def test_a_condition_is_about_the_answers_that_are_known(
    condition: dict[str, str | list[str]], known: dict[str, str], stands: bool
) -> None:
    assert holds(condition, known) is stands
