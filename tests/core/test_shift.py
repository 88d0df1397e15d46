"""The shift between two periods against brute force, against scipy's rank-sum test, and where there is none."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from webapp.core.shift import shift

TIMES = st.lists(st.integers(min_value=0, max_value=4000).map(float), min_size=5, max_size=40)


@given(TIMES, TIMES)
def test_the_shift_is_the_median_of_all_differences(before: list[float], after: list[float]) -> None:
    found = shift(before, after)
    assert found is not None
    assert found.shift == pytest.approx(float(np.median(np.subtract.outer(after, before))), abs=1e-9)
    if found.low is not None and found.high is not None:
        assert found.low <= found.shift <= found.high


@pytest.mark.parametrize(("n", "m"), [(5, 5), (7, 12), (12, 7), (30, 45), (50, 50)])
def test_the_interval_holds_the_shifts_that_the_exact_rank_sum_test_does_not_reject(n: int, m: int) -> None:
    dice = np.random.default_rng(n * 100 + m)
    before, after = dice.lognormal(7, 0.3, n), dice.lognormal(7.1, 0.3, m)
    found = shift(before, after)
    assert found is not None
    assert found.low is not None
    assert found.high is not None

    def p(by: float) -> float:
        return float(stats.mannwhitneyu(after - by, before, method="exact").pvalue)

    width = found.high - found.low
    assert p(found.low + 1e-6 * width) > 0.05 >= p(found.low - 1e-6 * width)
    assert p(found.high - 1e-6 * width) > 0.05 >= p(found.high + 1e-6 * width)


def test_published_figures_come_out() -> None:
    """Hollander and Wolfe, example 4.1: water through the membranes of 10 and of 5 people; the estimate is 0.305."""
    at_term = [0.80, 0.83, 1.89, 1.04, 1.45, 1.38, 1.91, 1.64, 0.73, 1.46]
    early = [1.15, 0.88, 0.90, 0.74, 1.21]
    found = shift(early, at_term)
    assert found is not None
    assert found.shift == pytest.approx(0.305)
    assert not found.shown


def test_large_sets_agree_with_all_their_differences_written_down() -> None:
    dice = np.random.default_rng(4)
    before, after = dice.lognormal(7, 0.4, 1500), dice.lognormal(6.9, 0.4, 900)
    found = shift(before, after)
    assert found is not None
    differences = np.sort(np.subtract.outer(after, before).ravel())
    count = int(1500 * 900 / 2 - stats.norm.ppf(0.975) * np.sqrt(1500 * 900 * 2401 / 12))
    assert found.shift == pytest.approx(float(np.median(differences)), abs=1e-6)
    assert found.low == pytest.approx(differences[count - 1], abs=1e-6)
    assert found.high == pytest.approx(differences[-count], abs=1e-6)
    assert found.shown
    assert found.shift < 0


def test_the_interval_holds_the_true_shift_as_often_as_it_says() -> None:
    dice, held = np.random.default_rng(8), 0
    for _ in range(800):
        found = shift(dice.normal(100, 10, 14), dice.normal(104, 10, 18))
        assert found is not None
        assert found.low is not None
        assert found.high is not None
        held += found.low <= 4 <= found.high
    assert stats.binomtest(held, 800, 0.95, alternative="less").pvalue > 0.01


def test_four_jobs_are_not_compared() -> None:
    assert shift([1, 2, 3, 4], [1, 2, 3, 4, 5, 6]) is None
