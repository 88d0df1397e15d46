"""What a technician types: decimals, blanks, units, and what is refused with the field and the value named."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.core.errors import BadInput
from webapp.core.measure.reading import Range, read, read_exact

TAPE = Range("mm", 50, 30_000)
YAW = Range("deg", -10, 10)


@pytest.mark.parametrize(
    "typed",
    [
        "1506.5",
        "1506,5",
        " 1506,5 ",
        "1 506,5",
        "1\u00a0506,5",
        "1\u202f506.5",
        "1\u2009506,5 mm",
        "1506,5mm",
        "+1506,50 MM",
    ],
)
def test_one_reading_typed_in_many_ways(typed: str) -> None:
    assert read(typed, "left_left", TAPE) == 1506.5


@pytest.mark.parametrize(
    ("typed", "value"), [("-0,5", -0.5), ("−0,5°", -0.5), (",5", 0.5), ("5.", 5.0), ("0,388 deg", 0.388)]
)
def test_signs_and_degrees(typed: str, value: float) -> None:
    assert read(typed, "yaw_deg", YAW) == value


@pytest.mark.parametrize(
    ("value", "code"),
    [
        ("", "missing"),
        ("  \t", "missing"),
        (None, "missing"),
        ("fifteen", "not-a-number"),
        ("15 06", "not-a-number"),
        ("1 5060", "not-a-number"),
        ("1.506,5", "not-a-number"),
        ("1506 1516", "not-a-number"),
        ("1e3", "not-a-number"),
        ("--5", "not-a-number"),
        (".", "not-a-number"),
        ("mm", "not-a-number"),
        ("٣٤٥٦", "not-a-number"),
        ("1" * 41, "not-a-number"),
        (True, "not-a-number"),
        ([1506], "not-a-number"),
        ("inf", "not-finite"),
        ("-Infinity", "not-finite"),
        ("∞", "not-finite"),
        ("NaN", "not-finite"),
        (float("nan"), "not-finite"),
        (float("inf"), "not-finite"),
        ("1506 cm", "wrong-unit"),
        ("1,506 m", "wrong-unit"),
        ("59 in", "wrong-unit"),
        ("-1506", "out-of-range"),
        (-1506, "out-of-range"),
        ("1,506", "out-of-range"),
        (49.999, "out-of-range"),
        (10**400, "out-of-range"),
    ],
)
def test_a_reading_that_cannot_be_used_is_refused_by_name(value: object, code: str) -> None:
    with pytest.raises(BadInput, match=r"^left_left") as refused:
        read(value, "left_left", TAPE)
    assert (refused.value.code, refused.value.field) == (code, "left_left")


def test_the_message_names_field_and_value_and_says_what_is_accepted() -> None:
    with pytest.raises(BadInput) as refused:
        read(91.0, "yaw_deg", YAW)
    assert refused.value.message == "yaw_deg=91 must lie within -10 to 10"


def test_both_ends_of_the_range_are_accepted() -> None:
    assert (read(50, "left_left", TAPE), read("30 000", "left_left", TAPE)) == (50, 30_000)


@pytest.mark.parametrize("lowest", ["0.001", "0,001 mm", 0.001])
def test_a_decimal_end_of_the_range_is_accepted_too(lowest: object) -> None:
    assert read(lowest, "u_mm", Range("mm", 0.001, 50)) == 0.001  # though its nearest binary number is a little more


def test_a_long_refused_text_is_quoted_in_part() -> None:
    with pytest.raises(BadInput) as refused:
        read("9" * 3000, "left_left", TAPE)
    assert len(refused.value.message) < 200
    assert "(3000 characters)" in refused.value.message


def test_a_decimal_is_taken_at_its_word() -> None:
    assert read_exact("0,38", "value", YAW) == Fraction(38, 100) == read_exact(0.38, "value", YAW)


@given(st.floats(-10, 10))
def test_any_number_in_range_comes_back_unchanged(value: float) -> None:
    assert read(value, "yaw_deg", YAW) == value


@given(st.integers(50, 30_000), st.integers(0, 999))
def test_comma_and_point_mean_the_same(whole: int, part: int) -> None:
    grouped = f"{whole:,}".replace(",", " ")
    typed = {f"{whole}.{part:03}", f"{whole},{part:03}", f"{grouped},{part:03} mm"}
    assert len({read(text, "left_left", Range("mm", 0, 40_000)) for text in typed}) == 1


@given(st.text(max_size=60))
def test_any_text_is_a_number_in_range_or_a_refusal(text: str) -> None:
    try:
        value = read(text, "left_left", TAPE)
    except BadInput as error:
        assert error.field == "left_left"  # noqa: PT017 - both ways out are right, and each is checked
    else:
        assert 50 <= value <= 30_000
