"""The reference axis: signs, directions, and what cannot be a vehicle."""

from functools import partial
from math import cos, radians, sin
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.core.cases import cases, check
from webapp.core.compute import compute
from webapp.core.measure.axis import Axle, Point, RearToe, reference_axis

HALF_TRACK_MM, WHEELBASE_MM = 780, 2700


@pytest.mark.parametrize("case", cases("axis"))
def test_a_shared_case_comes_out_as_written(case: dict[str, Any]) -> None:
    check(case, partial(compute, "axis"))


def parked(turn_deg: float, ahead_mm: float = 0, aside_mm: float = 0) -> tuple[Axle, Axle]:
    """A vehicle turned to the left in the bay's axes, with its front middle at (ahead, aside)."""
    c, s = cos(radians(turn_deg)), sin(radians(turn_deg))

    def point(x: float, y: float) -> Point:
        return Point(ahead_mm + c * x - s * y, aside_mm + s * x + c * y)

    front, rear = (Axle(point(x, HALF_TRACK_MM), point(x, -HALF_TRACK_MM)) for x in (0, -WHEELBASE_MM))
    return front, rear


def test_more_toe_in_on_the_left_sends_the_thrust_line_to_the_right() -> None:
    axis = reference_axis(*parked(0), RearToe(left_deg=0.3, right_deg=0.1))
    assert axis.thrust_deg == pytest.approx(0.1)
    assert axis.thrust_line_deg == pytest.approx(-0.1)


def test_without_toe_there_is_a_centreline_and_no_thrust_line() -> None:
    axis = reference_axis(*parked(3), None)
    assert axis.centreline_deg == pytest.approx(3)
    assert (axis.thrust_deg, axis.thrust_line_deg) == (None, None)


@given(
    st.floats(-179.9, 179.9),
    st.floats(-9_000, 9_000),
    st.floats(-9_000, 9_000),
    st.floats(-1, 1),
    st.floats(-1, 1),
)
def test_the_axis_turns_and_moves_with_the_vehicle(turn: float, ahead: float, aside: float, l: float, r: float) -> None:  # noqa: E741
    axis = reference_axis(*parked(turn, ahead, aside), RearToe(l, r))
    assert axis.centreline_deg == pytest.approx(turn, abs=1e-6)
    assert (axis.origin.x_mm, axis.origin.y_mm) == (pytest.approx(ahead, abs=1e-6), pytest.approx(aside, abs=1e-6))
    assert axis.thrust_deg == pytest.approx((l - r) / 2)
    assert axis.thrust_line_deg is not None
    assert -180 < axis.thrust_line_deg <= 180
    assert cos(radians(axis.thrust_line_deg - turn + (l - r) / 2)) == pytest.approx(1)
