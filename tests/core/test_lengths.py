"""Lengths in inches: to the nearest sixteenth, limits never wider than they are, and what was typed as it was typed."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.core.lengths import inch_limits, inches, inches_read

GAP = "\u00a0"


def value_mm(text: str) -> Fraction:
    """The figure read back, by another way than it was written."""
    sign = -1 if text.startswith("\u2212") else 1
    return sign * sum((Fraction(part) for part in text.lstrip("\u2212").split(GAP)), Fraction(0)) * Fraction(127, 5)


@pytest.mark.parametrize(
    ("length_mm", "text"),
    [
        (0, "0"),
        (25.4, "1"),
        (12.7, "1/2"),
        (1500, f"59{GAP}1/16"),
        (314.325, f"12{GAP}3/8"),
        (-4.0, "\u22123/16"),
        (-0.3, "0"),
        (2540.0, "100"),
    ],
)
def test_a_length_to_the_nearest_sixteenth(length_mm: float, text: str) -> None:
    assert inches(length_mm) == text


@given(st.floats(-30_000, 30_000))
def test_no_length_is_off_by_more_than_half_a_sixteenth(length_mm: float) -> None:
    assert abs(value_mm(inches(length_mm)) - Fraction(length_mm)) <= Fraction(127, 5) / 32 + Fraction(1, 10**6)


@given(st.floats(-30_000, 30_000), st.floats(1.6, 500))
def test_limits_in_inches_lie_within_the_true_ones_and_less_than_a_sixteenth_off(low: float, wide: float) -> None:
    high, part = low + wide, Fraction(127, 5) / 16
    shown = [value_mm(text or "") for text in inch_limits(low, high)]
    grain = Fraction(1, 10**5)
    assert Fraction(low) - grain <= shown[0] <= Fraction(low) + part + grain
    assert Fraction(high) - part - grain <= shown[1] <= Fraction(high) + grain


def test_limits_on_a_sixteenth_stay_there_and_one_side_alone_is_fine() -> None:
    assert inch_limits(1500.1875, 1501.775) == (f"59{GAP}1/16", f"59{GAP}1/8")
    assert inch_limits(None, 3.0) == (None, "1/16")
    assert inch_limits(-3.0, None) == ("\u22121/16", None)


def test_limits_too_close_for_any_sixteenth_are_decimals() -> None:
    assert inch_limits(1499.0, 1499.5) == ("59.016", "59.035")


@pytest.mark.parametrize(
    ("read_mm", "text"),
    [(1500.1875, f"59{GAP}1/16"), (1500.0, "59.055"), (-9.525, "\u22123/8"), (1498.6, "59"), (25.5, "1.004")],
)
def test_a_reading_is_shown_as_it_was_typed(read_mm: float, text: str) -> None:
    assert inches_read(read_mm) == text
