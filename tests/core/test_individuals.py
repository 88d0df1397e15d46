"""The individuals chart against published figures and hand-made patterns."""

import pytest

from webapp.core.individuals import individuals

# Percentages of a chemical process, as tables of the individuals chart commonly print them.
PUBLISHED = [
    78.4, 80.1, 84.4, 79.1, 80.4, 83.5, 73.8, 83.5, 75.0, 76.8,
    70.5, 80.3, 82.4, 79.4, 86.4, 90.5, 77.7, 82.5, 79.9, 83.2,
]  # fmt: skip


def rules(values: list[float]) -> dict[int, str]:
    found = individuals(values)
    assert found is not None
    return {signal.index: signal.rule for signal in found.signals}


def test_the_published_data_give_the_published_figures() -> None:
    found = individuals(PUBLISHED)
    assert found is not None
    assert found.mean == pytest.approx(80.39)
    assert found.mean_range == pytest.approx(5.326316, abs=1e-6)
    assert (found.low, found.high) == (pytest.approx(66.222, abs=5e-4), pytest.approx(94.558, abs=5e-4))
    assert found.range_high == pytest.approx(17.401, abs=5e-4)
    assert found.signals == ()


def test_the_flow_rates_of_the_engineering_statistics_handbook() -> None:
    """NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2, individuals control charts: mean 50.81, mean moving
    range 1.8778, limits 45.8159 and 55.8041. It divides by d2 = 1.128, where the usual table rounds 3/d2 to 2.66.
    """
    found = individuals([49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1])
    assert found is not None
    assert found.mean == pytest.approx(50.81)
    assert found.mean_range == pytest.approx(1.8778, abs=5e-5)
    assert (found.low, found.high) == (pytest.approx(45.8159, abs=2e-3), pytest.approx(55.8041, abs=2e-3))
    assert found.signals == ()


def test_one_value_has_no_moving_range() -> None:
    assert individuals([600.0]) is None


def test_a_value_beyond_the_limit_is_a_signal() -> None:
    assert rules([*PUBLISHED, 140.0]) == {20: "beyond-limit"}
    assert rules([*PUBLISHED, 20.0])[20] == "beyond-limit"


def test_two_of_three_values_beyond_two_thirds_of_the_way_are_a_signal() -> None:
    # The mean is 11.5 and the limits reach 6.5 to each side: 16 lies beyond two thirds of the way.
    assert rules([*[10.0, 12.0] * 8, 16.0, 11.0, 16.0]) == {18: "two-of-three"}


def test_four_of_five_values_beyond_one_third_of_the_way_are_a_signal() -> None:
    alternating = [10.0, 12.0] * 8
    assert rules([*alternating, 13.5, 13.5, 11.0, 13.5, 13.5])[20] == "four-of-five"


def test_eight_values_in_a_row_on_one_side_are_a_signal_and_seven_are_not() -> None:
    swinging = [8.0, 12.0, 7.0, 13.0] * 5
    signals = rules([*swinging, 8.0, *[10.9] * 8])
    assert signals == {28: "eight-in-a-row"}


def test_equal_values_are_no_signal() -> None:
    assert rules([600.0] * 20) == {}
