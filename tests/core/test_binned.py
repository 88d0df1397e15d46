"""Counted times against the times themselves."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from webapp.core.binned import BINS, EDGES_S, LONGEST_S, SHORTEST_S, Binned, counted, packed, together
from webapp.core.statistics import quantile, summary

SECONDS = st.floats(SHORTEST_S, LONGEST_S)
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


def test_what_is_too_short_or_too_long_stands_at_the_ends() -> None:
    counts = counted([0.0, 1.0, SHORTEST_S, 1e9])
    assert (counts[0], counts[-1], counts.sum()) == (3, 1, 4)
    assert len(counts) == BINS == len(EDGES_S) - 1


def test_many_of_one_bin_come_back(  # a count of 256 ends in a byte that is nothing
) -> None:
    for count in (1, 255, 256, 65_536):
        counts = counted([100.0]) * count
        assert np.array_equal(together([packed(counts)]), counts)
        assert len(packed(counts)) < 4 * BINS


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
