"""Vehicle identification numbers: cleaned, refused by position, checked, read back, matched."""

from functools import partial
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from vininfo import Vin as OtherVin

from tests.core.cases import cases, check
from webapp.core.compute import compute
from webapp.core.errors import BadInput
from webapp.core.vin import LETTERS, check_digit, check_pattern, groups, matches, read_vin

AMERICAN, ELSEWHERE = "4ZZBT2UAX8R004217", "ZZB1TTUA58R004217"
VINS = st.text(alphabet=sorted(LETTERS), min_size=17, max_size=17)


@pytest.mark.parametrize("case", cases("vin"))
def test_a_shared_case_comes_out_as_written(case: dict[str, Any]) -> None:
    check(case, partial(compute, "vin"))


@given(VINS)
def test_the_check_digit_is_the_one_another_library_finds(vin: str) -> None:
    right = vin[:8] + check_digit(vin) + vin[9:]
    other = OtherVin("1" + right[1:])  # its own list of makers decides whether it looks at the digit at all
    if getattr(other.assembler, "uses_sae_checkdigit", True):
        digit = check_digit(str(other))
        assert OtherVin(str(other)[:8] + digit + str(other)[9:]).verify_checksum(check_year=False)


@given(VINS, st.sampled_from(["{}", "{}\r\n", "*{}*", "I{}", "*I{}*\n", " {} "]), st.booleans())
def test_whatever_a_scanner_puts_round_a_vin_comes_off_and_is_told(vin: str, form: str, small: bool) -> None:
    found = read_vin(form.format(vin.lower() if small else vin))
    assert found.text == vin
    assert bool(found.cleaned) == (form != "{}" or (small and vin.lower() != vin))


@given(VINS, st.integers(0, 16), st.sampled_from("IOQ-_АВСЕНКМОРТХаеорхΑΒΕΖΗΚ８é"))
def test_a_wrong_character_anywhere_is_refused_by_its_position(vin: str, at: int, wrong: str) -> None:
    with pytest.raises(BadInput, match=rf"position {at + 1}\b"):
        read_vin(vin[:at] + wrong + vin[at + 1 :])


@given(st.text(max_size=40))
def test_any_text_is_a_vin_or_a_refusal_of_that_text(text: str) -> None:
    try:
        found = read_vin(text, "vin")
    except BadInput as error:
        assert error.field == "vin"  # noqa: PT017 - both ways out are right, and each is checked
    else:
        assert len(found.text) == 17
        assert set(found.text) <= LETTERS


def test_a_look_alike_names_its_script_and_the_letter_it_looks_like() -> None:
    with pytest.raises(BadInput, match="position 8: Cyrillic А looks like Latin A") as refused:
        read_vin("4ZZBT2UАX8R004217")
    assert refused.value.code == "vin-look-alike"


def test_the_check_digit_binds_only_what_was_built_for_north_america() -> None:
    assert (read_vin(AMERICAN).check_digit, read_vin(AMERICAN).valid) == ("match", True)
    misread = read_vin(AMERICAN[:-1] + "8")
    assert (misread.check_digit, misread.valid) == ("mismatch", False)
    assert (read_vin(ELSEWHERE).check_digit, read_vin(ELSEWHERE).valid) == ("not-applicable", True)


def test_a_vin_is_read_back_in_groups_that_add_up_to_it() -> None:
    assert groups(AMERICAN) == ("4ZZ", "BT2UAX", "8R00", "4217")
    assert "".join(groups(AMERICAN)) == AMERICAN


@pytest.mark.parametrize(
    ("pattern", "fits"),
    [
        ("4ZZBT2UAX8R004217", True),
        ("4ZZBT2UA?8R??????", True),
        ("?????????????????", True),
        ("4ZZBT*", True),
        ("4?ZBT*", True),
        ("*", True),
        ("4ZZBT3*", False),
        ("4ZZBT2UA?8R?????8", False),
        ("4ZZBT2", False),
    ],
)
def test_a_pattern_matches_character_by_character(pattern: str, fits: bool) -> None:
    assert matches(pattern, AMERICAN) is fits


@pytest.mark.parametrize("pattern", ["", "4ZZ", "4ZZO*", "4ZZ**", "?" * 18, "?" * 17 + "*", "4zz*", "4Z-*"])
def test_a_pattern_that_can_match_nothing_is_refused(pattern: str) -> None:
    with pytest.raises(BadInput, match="must be 17 characters with"):
        check_pattern(pattern)


@given(VINS, st.sets(st.integers(0, 16)), st.integers(0, 16))
def test_a_pattern_made_from_a_vin_is_accepted_and_matches_it(vin: str, blanked: set[int], cut: int) -> None:
    full = "".join("?" if index in blanked else letter for index, letter in enumerate(vin))
    for pattern in (full, full[:cut] + "*"):
        check_pattern(pattern)
        assert matches(pattern, vin)
