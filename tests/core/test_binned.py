"""Counted times against the times themselves."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.core.binned import PART, WHOLE, Binned, Scale, counted, counted_each, packed, shifted, together
from webapp.core.shift import shift
from webapp.core.statistics import quantile, summary

SECONDS = st.floats(WHOLE.shortest_s, WHOLE.longest_s)
CLOSE = 0.0101
"""Half a bin of 2 %, and a little for the floating point."""


@given(st.lists(SECONDS, min_size=1, max_size=60), st.floats(0, 1))
def test_a_rank_is_at_most_one_per_cent_off(seconds: list[float], at: float) -> None:
    rank = round(at * (len(seconds) - 1))
    binned = Binned(counted(seconds))
    assert len(binned) == len(seconds)
    assert abs(binned[rank] / sorted(seconds)[rank] - 1) < CLOSE


@given(st.lists(st.lists(SECONDS, max_size=20), max_size=6))
def test_counts_add_up_however_they_were_kept(shops: list[list[float]]) -> None:
    kept = [packed(counted(one)) for one in shops]
    assert np.array_equal(together(kept), counted([one for shop in shops for one in shop]))


@given(st.lists(st.lists(SECONDS, max_size=9), max_size=6))
def test_several_lots_are_counted_at_once(several: list[list[float]]) -> None:
    each = counted_each(several)
    assert each.shape == (len(several), WHOLE.bins)
    for counts, seconds in zip(each, several, strict=True):
        assert np.array_equal(counts, np.histogram(np.clip(seconds, None, WHOLE.longest_s), WHOLE.edges_s)[0])


def test_what_is_too_short_or_too_long_stands_at_the_ends() -> None:
    counts = counted([0.0, 1.0, WHOLE.shortest_s, 1e9])
    assert (counts[0], counts[-1], counts.sum()) == (3, 1, 4)
    assert len(counts) == WHOLE.bins == len(WHOLE.edges_s) - 1


def test_many_of_one_bin_come_back(  # a count of 256 ends in a byte that is nothing
) -> None:
    for count in (1, 255, 256, 65_536):
        counts = counted([100.0]) * count
        assert np.array_equal(together([packed(counts)]), counts)
        assert len(packed(counts)) < 4 * WHOLE.bins


def test_a_shops_figures_come_out_as_from_its_times() -> None:
    dice = np.random.default_rng(20_417)
    seconds = list(dice.lognormal(np.log(2400), 0.4, 500))
    exact, found = summary(seconds), summary(Binned(counted(seconds)))
    assert exact is not None
    assert found is not None
    for name in ("median", "p80"):
        assert abs(getattr(found, name) / getattr(exact, name) - 1) < CLOSE
    assert found.median_interval.coverage == exact.median_interval.coverage
    assert abs((found.median_interval.low or 0) / (exact.median_interval.low or 1) - 1) < CLOSE
    assert abs(quantile(Binned(counted(seconds)), 0.25) / float(np.quantile(seconds, 0.25)) - 1) < CLOSE


@pytest.mark.parametrize("scale", [WHOLE, PART])
def test_a_coarser_scale_is_off_by_half_of_its_own_bin(scale: Scale) -> None:
    for seconds in (scale.shortest_s, 33.0, 4711.0, scale.longest_s):
        binned = Binned(counted([seconds], scale), scale)
        assert abs(binned[0] / seconds - 1) < (scale.step - 1) / 2 + 0.0002


@given(st.lists(SECONDS, min_size=5, max_size=70), st.lists(SECONDS, min_size=5, max_size=70))
def test_two_sets_are_compared_as_their_times_are(before: list[float], after: list[float]) -> None:
    exact, found = shift(before, after), shifted(counted(before), counted(after))
    assert exact is not None
    assert found is not None
    assert (found.n_before, found.n_after) == (exact.n_before, exact.n_after)
    off = 0.0101 * (max(before) + max(after))  # each of the two times may lie half a bin from its middle
    for name in ("shift", "low", "high"):
        one, other = getattr(found, name), getattr(exact, name)
        assert (one is None) == (other is None)
        assert one is None or abs(one - other) <= off


def test_too_few_are_not_compared() -> None:
    assert shifted(counted([60.0] * 4), counted([60.0] * 50)) is None
