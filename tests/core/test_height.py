"""The stand's scale: the floor's fall from the vehicle to the stand is added to it or taken from it."""

import pytest

from webapp.core.errors import BadInput
from webapp.core.measure.floor import FloorPoint, Spot, SpotHeight
from webapp.core.measure.height import stand_height

WHEELS = [(0, 780), (0, -780), (-2700, 780), (-2700, -780)]


def contacts(slope_mm_per_m: float) -> list[FloorPoint]:
    return [FloorPoint(x, y, slope_mm_per_m * x / 1000) for x, y in WHEELS]


def test_on_a_level_floor_the_scale_is_the_height_itself() -> None:
    found = stand_height(1250, contacts(0), Spot(1500, 0), SpotHeight(0, 0.3), u_mm=0.3)
    assert (found.scale_mm, found.fall_mm) == (1250, 0)


def test_where_the_floor_falls_away_the_scale_is_set_higher() -> None:
    found = stand_height(1250, contacts(0), Spot(1500, 0), SpotHeight(-4, 0.3), u_mm=0.3)
    assert (found.scale_mm, found.fall_mm) == (1254, 4)


def test_one_slope_under_vehicle_and_stand_needs_no_correction() -> None:
    found = stand_height(1250, contacts(8), Spot(1500, 200), SpotHeight(12, 0.3), u_mm=0.3)
    assert found.scale_mm == pytest.approx(1250)


def test_a_vehicle_that_stands_nose_up_aims_the_target_higher() -> None:
    found = stand_height(1250, contacts(2), Spot(1500, 0), SpotHeight(0, 0.3), u_mm=0.3)
    assert found.scale_mm == pytest.approx(1253)


def test_the_setting_is_less_sure_the_farther_ahead_the_stand_is() -> None:
    near, far = (stand_height(1250, contacts(0), Spot(x, 0), SpotHeight(0, 0.3), u_mm=0.3).u_mm for x in (1000, 5000))
    assert 0.3 < near < far


def test_three_contacts_are_no_vehicle() -> None:
    with pytest.raises(BadInput, match="contacts has 3 readings"):
        stand_height(1250, contacts(0)[:3], Spot(1500, 0), SpotHeight(0, 0.3), u_mm=0.3)
