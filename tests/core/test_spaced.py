"""A stand is squared to the hub marks as they were made on this vehicle, not as its spec would have them."""

from typing import Any

import pytest

from tests.mirror.taps import SQUARE
from tests.sheets import Hands, every_kind, step
from webapp.core.measure.spaced import spaced, spacings
from webapp.core.measure.square import FRONT, REAR, Hubs, Pose, tapes_at
from webapp.core.view import job_page
from webapp.messages import say

SPACING: dict[str, Any] = {
    "method": "values",
    "readings": [
        {"name": f"{hubs}_spacing", "label": hubs, "unit": "mm", "low": 1552, "high": 1568, "instrument": "tape"}
        | {"u": None, "hubs": hubs}
        for hubs in ("front", "rear")
    ],
    "compare": [],
}
# Two corner reflectors stand on a pair of marks this wide, and their tapes are sure to a millimetre.
WIDE = SQUARE | {"bar_mm": 3400, "target": {"distance_mm": 2400, "offset_mm": 0, "yaw_deg": 0}}


def job(hubs: Hubs = FRONT) -> Hands:
    sheet = every_kind()
    square = WIDE | ({"hubs": hubs} if hubs == REAR else {}) | {"limits": {"distance_mm": [2390, 2410]}}
    sheet["steps"] = [step("spacing", "measure", measure=SPACING), step("square", "measure", measure=square)]
    return Hands(sheet=sheet)


def tapes(track_mm: float, hubs: Hubs = FRONT) -> dict[str, str]:
    """What four true tapes read of the stand in its place, from marks so far apart."""
    read = tapes_at(track_mm, WIDE["bar_mm"], Pose(2400, 0, 0), hubs)
    return {name: f"{getattr(read, name):.1f}" for name in ("left_left", "right_right", "left_right", "right_left")}


def squared(hands: Hands, **typed: str) -> Any:
    hands.tap("measure", **typed)
    return hands.events[-1].data["result"]


@pytest.mark.parametrize("hubs", [FRONT, REAR])
@pytest.mark.parametrize("apart_mm", [1553, 1560, 1567])
def test_true_tapes_from_marks_within_their_own_limits_fit(apart_mm: float, hubs: Hubs) -> None:
    hands = job(hubs)
    hands.tap("measure", front_spacing=str(apart_mm), rear_spacing=str(apart_mm))
    found = squared(hands, **tapes(apart_mm, hubs))
    assert found["fits"]
    assert found["verdict"] == "inside"
    assert found["track_mm"] == apart_mm
    assert found["pose"]["distance_mm"] == pytest.approx(2400, abs=0.2)


def test_by_the_spec_s_track_the_same_four_would_be_refused() -> None:
    """This is what the measured distance is for: each of the four tapes is right, and together they did not fit."""
    hands = job()
    hands.sheet["steps"][0]["measure"] = {
        **SPACING,
        "readings": [{key: value for key, value in one.items() if key != "hubs"} for one in SPACING["readings"]],
    }
    hands.tap("measure", front_spacing="1567", rear_spacing="1567")
    found = squared(hands, **tapes(1567))
    assert found["verdict"] == "does-not-fit"
    assert "track_mm" not in found


def test_each_pair_of_hubs_counts_for_what_is_squared_to_it() -> None:
    hands = job(REAR)
    hands.tap("measure", front_spacing="1553", rear_spacing="1566")
    assert squared(hands, **tapes(1566, REAR))["track_mm"] == 1566


def test_the_page_says_with_what_it_reckons() -> None:
    hands = job()
    hands.tap("measure", front_spacing="1563", rear_spacing="1560")
    shown = job_page(hands.sheet, hands.state, hands.clock(), say)["step"]["measure"]
    told = shown["track"].replace("\u2068", "").replace("\u2069", "")
    assert told == "Worked out with the hub marks 1\u202f563 mm apart, as measured in this job."


def test_what_was_undone_counts_no_more() -> None:
    hands = job()
    hands.tap("measure", front_spacing="1563", rear_spacing="1560")
    hands.tap("undo", step=hands.sheet["steps"][0]["id"], reason="Marks drawn again")
    assert job_page(hands.sheet, hands.state, hands.clock(), say)["step"]["id"] == hands.sheet["steps"][0]["id"]
    hands.tap("measure", front_spacing="1556", rear_spacing="1560")
    assert squared(hands, **tapes(1556))["track_mm"] == 1556


def test_a_distance_that_no_vehicle_has_leaves_the_spec_s() -> None:
    measured = [(SPACING, {"parts": [{"name": "front_spacing", "value": 29.0}]})]
    assert spacings(measured) == {}
    assert spaced(WIDE, {}) == WIDE
    assert spaced(SPACING, {"front": 1560.0}) == SPACING
