"""The shop's figures against scipy and numpy, which reach the same numbers by other ways."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from webapp.core.statistics import FEWEST, pass_rate, quantile, quantile_interval, summary

TIMES = st.lists(st.floats(min_value=0, max_value=1e6, allow_nan=False), min_size=1, max_size=60)


@given(TIMES, st.floats(min_value=0, max_value=1))
def test_a_quantile_is_the_one_numpy_and_spreadsheets_give(values: list[float], p: float) -> None:
    assert quantile(values, p) == pytest.approx(float(np.quantile(values, p)), rel=1e-9, abs=1e-9)


@pytest.mark.parametrize("p", [0.5, 0.8])
@pytest.mark.parametrize("n", [*range(1, 45), 200, 1500])
def test_the_interval_of_a_quantile_is_the_exact_binomial_one(n: int, p: float) -> None:
    values = np.random.default_rng(n).lognormal(mean=6, sigma=0.4, size=n).tolist()
    ours = quantile_interval(values, p)
    theirs = stats.quantile_test(values, q=0.5, p=p).confidence_interval(confidence_level=0.95)
    assert (ours.low is None) == np.isnan(theirs.low)
    assert (ours.high is None) == np.isnan(theirs.high)
    if ours.low is not None:
        assert ours.low == theirs.low
    if ours.high is not None:
        assert ours.high == theirs.high


def test_the_median_of_six_values_lies_between_the_smallest_and_the_largest_with_96_9_percent() -> None:
    interval = quantile_interval([1, 2, 3, 4, 5, 6], 0.5)
    assert (interval.low, interval.high, interval.needs) == (1, 6, 6)
    assert interval.coverage == pytest.approx(1 - 2 / 64)


def test_five_values_cannot_bound_the_median_and_the_interval_says_how_many_can() -> None:
    interval = quantile_interval([1, 2, 3, 4, 5], 0.5)
    assert (interval.low, interval.high, interval.needs) == (None, None, 6)


def test_the_80th_percentile_has_no_upper_end_before_17_values() -> None:
    sixteen = quantile_interval(list(range(16)), 0.8)
    assert sixteen.high is None
    assert sixteen.low is not None
    assert sixteen.needs == 17
    assert quantile_interval(list(range(17)), 0.8).high == 16


def test_an_interval_holds_the_true_quantile_as_often_as_it_says() -> None:
    rng = np.random.default_rng(20)
    truth = float(np.exp(stats.norm.ppf(0.8) * 0.4 + 6))
    held, tries, coverage = 0, 2000, 0.0
    for _ in range(tries):
        interval = quantile_interval(rng.lognormal(6, 0.4, 30).tolist(), 0.8)
        assert interval.low is not None
        assert interval.high is not None
        coverage = interval.coverage
        held += interval.low <= truth < interval.high
    assert coverage >= 0.95
    assert held / tries == pytest.approx(coverage, abs=4 * (coverage * (1 - coverage) / tries) ** 0.5)


def test_four_jobs_give_no_statistics() -> None:
    assert summary([600, 610, 620, 630]) is None
    assert pass_rate(4, 4).low is None
    assert pass_rate(4, 4).rate == 1


def test_a_fifth_job_gives_the_median_and_the_80th_percentile() -> None:
    found = summary([500, 900, 700, 600, 800])
    assert found is not None
    assert (found.n, found.median, found.p80) == (5, 700, 820)


@given(st.integers(min_value=FEWEST, max_value=400), st.data())
def test_the_interval_of_a_rate_is_wilsons(n: int, data: st.DataObject) -> None:
    passed = data.draw(st.integers(min_value=0, max_value=n))
    ours = pass_rate(passed, n)
    theirs = stats.binomtest(passed, n).proportion_ci(confidence_level=0.95, method="wilson")
    assert ours.low == pytest.approx(theirs.low, abs=1e-12)
    assert ours.high == pytest.approx(theirs.high, abs=1e-12)


def test_no_jobs_have_no_rate() -> None:
    assert pass_rate(0, 0).rate is None
