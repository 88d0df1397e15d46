"""What can be believed after several looks at one photo."""

import pytest

from webapp.core.errors import BadInput
from webapp.core.labels import Label, label_text
from webapp.decode.accept import ANY, LABEL, VIN, Accept
from webapp.decode.decoders import Decoder, Sight, Symbology
from webapp.decode.evidence import Evidence
from webapp.decode.reading import Found

CAMERA = label_text(Label("target", "CAM-1"))
RADAR = label_text(Label("target", "RAD-1"))
PROVEN = "1M8GDM9AXKP042788"  # the worked example of the check digit's regulation
UNPROVEN = "WVB7ZZ1KZ8P012345"
OTHER_UNPROVEN = "WVB7ZZ1KZ8P012346"


def sight(text: str, symbology: Symbology = "code-39", decoder: Decoder = "zxing", doubtful: bool = False) -> Sight:
    return Sight(text, symbology, decoder, doubtful)


def after(accept: Accept, *looks: list[Sight]) -> Evidence:
    evidence = Evidence(accept)
    for look in looks:
        evidence = evidence.after(look)
    return evidence


def texts(evidence: Evidence) -> list[str]:
    return [found.text for found in evidence.reading().found]


def test_nothing_seen_settles_nothing_and_finds_nothing() -> None:
    evidence = after(LABEL, [], [])
    assert not evidence.settled()
    assert texts(evidence) == []


@pytest.mark.parametrize("symbology", ["qr", "data-matrix"])
def test_a_code_that_corrects_errors_is_believed_at_the_first_look(symbology: Symbology) -> None:
    evidence = after(VIN, [sight(UNPROVEN, symbology)])
    assert evidence.settled()
    assert evidence.reading().sure


def test_a_linear_code_is_believed_at_once_where_its_text_holds_a_check_character_that_fits() -> None:
    for accept, text in ((VIN, PROVEN), (LABEL, CAMERA), (ANY, PROVEN), (ANY, CAMERA)):
        assert after(accept, [sight(text)]).settled()


@pytest.mark.parametrize("symbology", ["code-39", "code-128"])
def test_a_vin_without_check_digit_from_one_look_at_a_linear_code_is_for_a_person_to_compare(
    symbology: Symbology,
) -> None:
    evidence = after(VIN, [sight(UNPROVEN, symbology)], [])
    assert not evidence.settled()
    assert texts(evidence) == [UNPROVEN]
    assert not evidence.reading().sure


def test_a_second_look_that_agrees_makes_it_sure() -> None:
    evidence = after(VIN, [sight(UNPROVEN)], [sight(UNPROVEN)])
    assert evidence.settled()
    assert evidence.reading().sure


def test_the_same_text_twice_in_one_look_is_no_second_look() -> None:
    assert not after(VIN, [sight(UNPROVEN), sight(UNPROVEN)]).settled()


def test_two_vins_in_the_balance_are_handed_on_as_two() -> None:
    evidence = after(VIN, [sight(UNPROVEN)], [sight(OTHER_UNPROVEN)])
    assert texts(evidence) == [UNPROVEN, OTHER_UNPROVEN]
    with pytest.raises(BadInput) as refused:
        evidence.reading().only()
    assert refused.value.code == "photo-several-codes"
    assert UNPROVEN in refused.value.message
    assert OTHER_UNPROVEN in refused.value.message


def test_a_rival_in_the_balance_keeps_a_believed_vin_from_being_the_only_one() -> None:
    evidence = after(VIN, [sight(UNPROVEN, "qr"), sight(OTHER_UNPROVEN)])
    assert not evidence.settled()
    assert len(texts(evidence)) == 2


def test_two_believed_labels_settle_the_matter_as_ambiguous() -> None:
    evidence = after(LABEL, [sight(CAMERA, "qr"), sight(RADAR, "qr")])
    assert evidence.settled()
    with pytest.raises(BadInput, match="CAM-1"):
        evidence.reading().only()


def test_a_doubtful_text_counts_for_nothing_until_a_sound_look_agrees() -> None:
    doubtful = sight(CAMERA, "code-39", "zbar", doubtful=True)
    assert texts(after(LABEL, [doubtful], [doubtful])) == []
    assert after(LABEL, [doubtful], [sight(CAMERA)]).settled()
    assert after(VIN, [sight(UNPROVEN)], [sight(UNPROVEN, "code-39", "zbar", doubtful=True)]).settled()


def test_a_doubtful_rival_does_not_hold_up_what_is_believed() -> None:
    evidence = after(LABEL, [sight(RADAR, "code-39", "zbar", doubtful=True), sight(CAMERA, "qr")])
    assert evidence.settled()
    assert texts(evidence) == [CAMERA]


def test_one_vin_written_two_ways_is_one_answer_given_as_it_was_encoded() -> None:
    evidence = after(VIN, [sight("I" + UNPROVEN)], [sight(UNPROVEN, "qr")])
    assert evidence.settled()
    assert evidence.reading().found == (Found("I" + UNPROVEN, "code-39"),)


def test_what_is_no_answer_is_told_apart_from_nothing() -> None:
    reading = after(VIN, [sight("https://example.org", "qr")], [sight("https://example.org", "qr")]).reading()
    assert reading.others == (Found("https://example.org", "qr"),)
    with pytest.raises(BadInput) as refused:
        reading.only("vin")
    assert (refused.value.code, refused.value.field) == ("photo-other-code", "vin")
    assert "which is not a VIN" in refused.value.message


def test_where_several_codes_may_come_only_the_believed_ones_do() -> None:
    evidence = after(ANY, [sight(CAMERA, "qr"), sight("SHELF 4", "qr"), sight("LOOSE")])
    assert not evidence.settled()
    assert texts(evidence) == [CAMERA, "SHELF 4"]
    assert evidence.reading().sure


def test_a_label_with_a_wrong_check_character_is_no_answer() -> None:
    wrong = CAMERA[:-1] + ("A" if CAMERA[-1] != "A" else "B")
    reading = after(LABEL, [sight(wrong, "qr")]).reading()
    assert reading.found == ()
    assert reading.others == (Found(wrong, "qr"),)
