"""The stand's scale: the floor's fall from the vehicle to the stand is added to it or taken from it."""

from dataclasses import replace
from functools import partial

import numpy as np
import pytest

from tests.core.cases import check, read_cases
from webapp.core.compute import compute
from webapp.core.errors import BadInput
from webapp.core.measure.floor import FloorPoint, Spot, SpotHeight
from webapp.core.measure.height import stand_height

TRIALS = 20_000
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


@pytest.mark.parametrize("method", ["height", "repeats"])
def test_the_shared_cases_come_out_as_written(method: str) -> None:
    for case in read_cases(method):
        check(case, partial(compute, method))


def test_a_setting_is_as_sure_as_it_says() -> None:
    """A vehicle on a floor of its own and a survey ahead, both read with known noise: the true fall within ±2u."""
    dice = np.random.default_rng(12)
    held = 0
    for along, across, drop, x, y, u, *noise in dice.normal(0, 1, (TRIALS, 11)).tolist():
        spot, u_mm, u_floor = Spot(2500 + 500 * x, 400 * y), 0.2 + abs(u), 0.5
        true = [
            FloorPoint(one.x_mm, one.y_mm, (3 * along * one.x_mm + 3 * across * one.y_mm) / 1000) for one in contacts(0)
        ]
        fall = (3 * along * spot.x_mm + 3 * across * spot.y_mm) / 1000 - 5 * drop
        read = [replace(one, height_mm=one.height_mm + u_mm * e) for one, e in zip(true, noise, strict=False)]
        floor = SpotHeight(5 * drop + u_floor * noise[4], u_floor)
        found = stand_height(1250, read, spot, floor, u_mm)
        held += abs(found.fall_mm - fall) <= 2 * found.u_mm
    assert 0.94 <= held / TRIALS <= 0.96, held / TRIALS


def test_three_contacts_are_no_vehicle() -> None:
    with pytest.raises(BadInput, match="contacts has 3 readings"):
        stand_height(1250, contacts(0)[:3], Spot(1500, 0), SpotHeight(0, 0.3), u_mm=0.3)
