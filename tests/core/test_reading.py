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
        ("59 yd", "wrong-unit"),
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


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        ('12 3/8"', 314.325),
        ("12-3/8 in", 314.325),
        ("12 3/8 IN", 314.325),
        ("12\u00a03/8\u2033", 314.325),
        ("12\u215c inches", 314.325),
        ('12.375"', 314.325),
        ("12,375 in", 314.325),
        ("1' 3/8\"", 314.325),
        ("1 ft 0 3/8 in", 314.325),
        ("4'", 1219.2),
    ],
)
def test_inches_are_taken_in_any_shop_where_they_say_so(typed: str, value: float) -> None:
    assert read(typed, "left_left", TAPE) == value
    assert read(typed, "left_left", TAPE, "in") == value


def test_without_a_unit_the_shops_own_counts() -> None:
    assert read("59 1/16", "left_left", TAPE, "in") == 1500.1875
    assert read("59.0625", "left_left", TAPE, "in") == 1500.1875
    assert read("1506 mm", "left_left", TAPE, "in") == 1506
    assert read("1506", "left_left", TAPE) == 1506
    assert read("0.5", "yaw_deg", YAW, "in") == 0.5
    assert read(1506, "left_left", TAPE, "in") == 1506, "what is stored is in mm"


@pytest.mark.parametrize("typed", ["12 3/7", "12 9/8", "12 2/4", "12.5 3/8", "123/8", "12 3/8 mm", "1/2/4", "12 3"])
def test_what_is_no_reading_of_a_rule_is_refused(typed: str) -> None:
    with pytest.raises(BadInput) as refused:
        read(typed, "left_left", TAPE, "in")
    assert refused.value.code == "not-a-number"
    assert refused.value.message == f"left_left='{typed}' must be one number in inches, such as 59 1/4 or 59.25"


def test_a_fraction_without_a_unit_is_none_of_millimetres() -> None:
    with pytest.raises(BadInput) as refused:
        read("12 3/8", "left_left", TAPE)
    assert refused.value.message == "left_left='12 3/8' must be one number in mm, such as 1506 or 1506,5"


def test_the_range_is_told_in_the_unit_of_the_field() -> None:
    with pytest.raises(BadInput) as refused:
        read("1506", "left_left", TAPE, "in")
    assert refused.value.message == "left_left='1506' must lie within 1.97 to 1181.1 in"
