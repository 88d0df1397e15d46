"""How sure a reading is: the instrument's part, the repeats' part, and both together."""

from math import sqrt

import pytest

from webapp.core.errors import BadInput
from webapp.core.measure.instruments import (
    INCLINOMETER,
    INSTRUMENTS,
    PLUMB_BOB,
    SCALE,
    TAPE_CLASS_II,
    Instrument,
    combined,
    expanded,
    repeated,
)


@pytest.mark.parametrize(
    ("length_mm", "half_width_mm"), [(400, 0.5), (1000, 0.5), (1000.1, 0.7), (1506, 0.7), (2041, 0.9), (9_999, 2.3)]
)
def test_a_class_ii_tape_is_good_to_its_length_in_metres_rounded_up(length_mm: float, half_width_mm: float) -> None:
    assert TAPE_CLASS_II.half_width(length_mm) == pytest.approx(half_width_mm)
    assert TAPE_CLASS_II.u(length_mm) == pytest.approx(half_width_mm / sqrt(3))


@pytest.mark.parametrize(("instrument", "half_width"), [(SCALE, 0.5), (PLUMB_BOB, 1.0), (INCLINOMETER, 0.1)])
def test_the_other_instruments_are_as_good_at_any_reading(instrument: Instrument, half_width: float) -> None:
    assert instrument in INSTRUMENTS.values()
    for reading in (-3.0, 0.0, 4_500.0):
        assert INSTRUMENTS[instrument.kind].u(reading) == pytest.approx(half_width / sqrt(3))


def test_repeats_give_a_mean_and_how_sure_it_is() -> None:
    found = repeated([1506, 1508, 1507, 1507])
    assert (found.count, found.mean) == (4, 1507)
    assert found.s == pytest.approx(sqrt(2 / 3))
    assert found.u == pytest.approx(found.s / 2)


def test_equal_repeats_add_no_uncertainty() -> None:
    assert repeated([1506, 1506]).u == 0


def test_one_reading_says_nothing_of_its_scatter() -> None:
    with pytest.raises(BadInput, match="readings has 1 values"):
        repeated([1506])


def test_parts_combine_as_the_root_of_their_squares_and_expand_by_two() -> None:
    assert combined([3, 4]) == 5
    assert expanded(combined([0.3, 0.4])) == pytest.approx(1)
