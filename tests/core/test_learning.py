"""The learning curve against a straight line through the logarithms as scipy fits it."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy import stats

from webapp.core.learning import FEWEST_FOR_CURVE, curve

SECONDS = st.lists(st.floats(min_value=1, max_value=1e5), min_size=FEWEST_FOR_CURVE, max_size=60)


@given(SECONDS)
def test_the_curve_is_scipys_line_through_the_logarithms(seconds: list[float]) -> None:
    assume(np.ptp(np.log(seconds)) > 1e-6)  # of times that are all alike, scipy tells no error
    nth = np.arange(1, len(seconds) + 1)
    found, line = curve(nth, seconds), stats.linregress(np.log(nth), np.log(seconds))
    half = stats.t.ppf(0.975, len(seconds) - 2) * line.stderr
    assert found is not None
    assert found.exponent == pytest.approx(line.slope, abs=1e-9)
    assert found.first_s == pytest.approx(np.exp(line.intercept))
    assert (found.low, found.high) == pytest.approx((line.slope - half, line.slope + half), abs=1e-9)
    assert found.now_s == pytest.approx(found.at(len(seconds)))


def test_times_that_follow_a_curve_give_it_back() -> None:
    """Wright's own: at an exponent of log2(0.8) each doubling takes four fifths of the time."""
    exponent = np.log2(0.8)
    found = curve([1, 2, 4, 8, 16, 32, 64, 128], [1000 * n**exponent for n in (1, 2, 4, 8, 16, 32, 64, 128)])
    assert found is not None
    assert found.doubling == pytest.approx(0.8)
    assert found.first_s == pytest.approx(1000)
    assert found.shown


def test_below_eight_jobs_there_is_no_curve() -> None:
    assert curve(range(1, 8), [600.0] * 7) is None
    assert curve(range(1, 9), [600.0, 610, 590, 600, 605, 595, 600, 610]) is not None


def test_times_that_only_scatter_show_no_learning() -> None:
    seconds = np.random.default_rng(3).lognormal(6, 0.3, 30)
    found = curve(np.arange(1, 31), seconds)
    assert found is not None
    assert not found.shown
