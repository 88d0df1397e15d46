"""The odd one among repeats: Grubbs' test against its formula, what it must not blame, and what it says instead."""

from math import sqrt

import numpy as np
import pytest
from scipy import stats

from webapp.core.measure.outlier import CRITICAL, FEWEST, apart, odd_one


def test_the_critical_values_are_those_of_the_formula() -> None:
    for place, critical in enumerate(CRITICAL):
        n = place + FEWEST
        t = stats.t.ppf(1 - 0.01 / (2 * n), n - 2)
        assert critical == pytest.approx((n - 1) / sqrt(n) * sqrt(t * t / (n - 2 + t * t)), abs=6e-5)


def test_a_slip_of_the_pen_is_found_where_three_readings_agree() -> None:
    assert odd_one([1259.5, 1260.0, 1284.0, 1259.5], u_instrument=0.4) == 2
    assert odd_one([1259.5, 1259.5, 1284.0], u_instrument=0.4) == 2


@pytest.mark.parametrize(
    "readings",
    [
        pytest.param([1259.5, 1284.0], id="two: nobody can say which"),
        pytest.param([1259.0, 1259.0, 1260.0], id="one step of the scale is no blunder"),
        pytest.param([1250.0, 1255.0, 1260.0, 1266.0], id="all of them scattered"),
        pytest.param([1259.0, 1260.0, 1284.0, 1284.5], id="two odd ones hide each other"),
        pytest.param([1260.0] * 5, id="all the same"),
        pytest.param([1260.0] * 30 + [1284.0], id="more than the table has"),
    ],
)
def test_no_reading_is_blamed(readings: list[float]) -> None:
    assert odd_one(readings, u_instrument=0.4) is None


@pytest.mark.parametrize("count", [4, 8])
def test_good_readings_are_blamed_at_most_once_in_a_hundred_sets(count: int) -> None:
    sets = np.random.default_rng(11).normal(0, 1, (4_000, count)).tolist()
    assert sum(odd_one(one, u_instrument=1e-6) is not None for one in sets) / len(sets) <= 0.0135


def test_two_readings_are_apart_where_the_instrument_does_not_explain_it() -> None:
    assert apart(1.2, 0.4)
    assert not apart(-1.1, 0.4)
