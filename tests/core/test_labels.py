"""Labels: their text, their check character, and the texts that are no label of ours."""

import re

import pytest
import qrcode
from hypothesis import given
from hypothesis import strategies as st

from webapp.core.errors import BadInput
from webapp.core.labels import LETTER_OF, LONGEST, Label, LabelKind, label_text, read_label

KINDS: list[LabelKind] = list(LETTER_OF)
CODES = st.from_regex(r"[A-Z0-9]([A-Z0-9-]{0,18}[A-Z0-9])?", fullmatch=True)
LABELS = st.builds(Label, st.sampled_from(KINDS), CODES)
ALPHANUMERIC = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@given(LABELS)
def test_a_label_reads_back_as_itself(label: Label) -> None:
    text = label_text(label)
    assert read_label(text) == label
    assert read_label(f"  {text.lower()}\r\n") == label
    assert len(text) <= LONGEST
    assert re.fullmatch("[A-Z0-9.-]+", text)


@given(LABELS, st.data())
def test_one_letter_or_digit_misread_is_always_caught(label: Label, data: st.DataObject) -> None:
    text = label_text(label)
    at = data.draw(st.sampled_from([index for index, character in enumerate(text) if character.isalnum()]))
    wrong = data.draw(st.sampled_from(ALPHANUMERIC.replace(text[at], "")))
    with pytest.raises(BadInput, match=r"^text="):
        read_label(text[:at] + wrong + text[at + 1 :])


@pytest.mark.parametrize("kind", KINDS)
def test_the_longest_label_fits_a_version_2_code_at_level_m(kind: LabelKind) -> None:
    code = qrcode.QRCode(error_correction=qrcode.ERROR_CORRECT_M)
    code.add_data(label_text(Label(kind, "W" * 20)))
    code.make(fit=True)
    assert code.version <= 2


def test_the_check_character_is_that_of_the_standard() -> None:
    # ISO/IEC 7064 MOD 37,36 over BAYTCBL1: the hyphen and the dots do not count.
    value = 36
    for character in "BAYTCBL1":
        value = (value + ALPHANUMERIC.index(character)) % 36 or 36
        value = value * 2 % 37
    check = ALPHANUMERIC[(37 - value) % 36]
    assert label_text(Label("target", "CB-L1")) == f"BAY.T.CB-L1.{check}"


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "label-empty"),
        (" \r\n", "label-empty"),
        ("CB-L1", "label-not-ours"),
        ("https://example.org/BAY.T.CB-L1.A", "label-not-ours"),
        ("4ZZBT2UAX8R004217", "label-not-ours"),
        ("ABC." * 750, "label-not-ours"),
        ("ВАУ.T.CB-L1.A", "label-not-ours"),
        ("BAY.T." + "A" * 3000, "label-too-long"),
        ("BAY.T.CB-L1", "label-garbled"),
        ("BAY.Z.CB-L1.A", "label-garbled"),
        ("BAY.T.-CB.A", "label-garbled"),
        ("BAY.T..A", "label-garbled"),
        ("BAY.T.CB L1.A", "label-garbled"),
        ("BAY.T.CB-L1.Æ", "label-garbled"),
        (None, "not-text"),
        (7, "not-text"),
    ],
)
def test_what_is_no_label_is_refused_for_its_own_reason(text: object, code: str) -> None:
    with pytest.raises(BadInput) as refused:
        read_label(text, "label")
    assert (refused.value.code, refused.value.field) == (code, "label")
    assert len(refused.value.message) < 200


def test_a_wrong_check_character_is_named() -> None:
    right = label_text(Label("spot", "ST-L"))
    wrong = right[:-1] + ("0" if right[-1] != "0" else "1")
    with pytest.raises(BadInput, match=f"check character {wrong[-1]}, which does not fit") as refused:
        read_label(wrong)
    assert refused.value.code == "label-check-character"


@pytest.mark.parametrize("code", ["", "-", "CB-", "cb", "CB_1", "CB 1", "W" * 21, "CÖ"])
def test_a_code_that_no_label_can_carry_is_refused(code: str) -> None:
    with pytest.raises(BadInput, match=r"^code=.* must be 1 to 20 of A-Z"):
        label_text(Label("target", code))


@given(st.text(max_size=60))
def test_any_text_is_a_label_or_a_refusal(text: str) -> None:
    try:
        label = read_label(text)
    except BadInput as error:
        assert error.field == "text"  # noqa: PT017 - both ways out are right, and each is checked
    else:
        assert label_text(label) == text.strip().upper()
