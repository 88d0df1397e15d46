"""Photos in, texts out: the whole way, on real images."""

import io
import random
from pathlib import Path

import pytest
from PIL import Image

from tests.decode.cards import draw_card
from webapp.core.errors import BadInput
from webapp.core.labels import Label, label_text
from webapp.decode import ANY, LABEL, VIN, Accept, Found, decode_file, decode_lines, decode_photo
from webapp.decode.cascade import CASCADE
from webapp.decode.decoders import SYMBOLOGIES, Symbology

CAMERA = label_text(Label("target", "CAM-1"))
RADAR = label_text(Label("target", "RAD-1"))
VIN_ELSEWHERE = "WVB7ZZ1KZ8P012345"
ORIENTATION = 0x0112


def card(text: str, symbology: str = "qr", module_px: int = 5) -> Image.Image:
    return draw_card(text, symbology, module_px, random.Random(1))[0]


def on_a_table(*cards: Image.Image, size: tuple[int, int] = (1800, 1000)) -> Image.Image:
    """Return a photo with the cards laid out from left to right."""
    photo = Image.new("L", size, 120)
    left = 20
    for one in cards:
        photo.paste(one, (left, 40))
        left += one.width + 20
    return photo


def stored(photo: Image.Image, kind: str = "JPEG", **options: object) -> bytes:
    out = io.BytesIO()
    photo.save(out, kind, **options)
    return out.getvalue()


class Clock:
    """A clock that gains a second each time it is read, and counts how often it was."""

    def __init__(self) -> None:
        self.read = 0

    def __call__(self) -> float:
        self.read += 1
        return float(self.read)


@pytest.mark.parametrize("symbology", SYMBOLOGIES)
@pytest.mark.parametrize(("accept", "text"), [(LABEL, CAMERA), (VIN, VIN_ELSEWHERE), (ANY, "SHELF 4")])
def test_every_symbology_gives_its_text_and_its_name(symbology: Symbology, accept: Accept, text: str) -> None:
    reading = decode_photo(stored(on_a_table(card(text, symbology, 3))), accept)
    assert reading.found == (Found(text, symbology),)
    assert reading.sure


@pytest.mark.parametrize(("orientation", "as_stored"), [
    (3, Image.Transpose.ROTATE_180), (6, Image.Transpose.ROTATE_90), (2, Image.Transpose.FLIP_LEFT_RIGHT),
])  # fmt: skip
def test_a_photo_taken_any_way_up_or_mirrored_is_read(orientation: int, as_stored: Image.Transpose) -> None:
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    data = stored(on_a_table(card(VIN_ELSEWHERE, "code-128", 3)).transpose(as_stored), exif=exif)
    assert decode_photo(data, VIN).only().text == VIN_ELSEWHERE


def test_a_small_code_in_a_photo_of_twelve_megapixels_is_read() -> None:
    data = stored(on_a_table(card(CAMERA), size=(4032, 3024)))
    assert decode_photo(data, LABEL).only().text == CAMERA


def test_light_bars_on_a_dark_plate_are_read() -> None:
    plate = card(VIN_ELSEWHERE, "data-matrix", 8).point([255 - level for level in range(256)])
    assert decode_photo(stored(on_a_table(plate)), VIN).only().text == VIN_ELSEWHERE


def test_the_leading_i_of_a_vin_is_left_for_the_page_to_show() -> None:
    reading = decode_photo(stored(on_a_table(card("I" + VIN_ELSEWHERE, "code-39", 3))), VIN)
    assert reading.only().text == "I" + VIN_ELSEWHERE


def test_the_asked_for_code_is_picked_out_beside_another() -> None:
    data = stored(on_a_table(card("https://example.org/a-page"), card(CAMERA)))
    assert decode_photo(data, LABEL).only().text == CAMERA


def test_two_labels_in_one_photo_are_refused_with_both_named() -> None:
    reading = decode_photo(stored(on_a_table(card(CAMERA), card(RADAR))), LABEL)
    with pytest.raises(BadInput) as refused:
        reading.only()
    assert refused.value.code == "photo-several-codes"
    assert CAMERA in refused.value.message
    assert RADAR in refused.value.message


def test_a_photo_without_a_code_says_how_to_take_a_better_one() -> None:
    with pytest.raises(BadInput) as refused:
        decode_photo(stored(on_a_table()), LABEL).only()
    assert refused.value.code == "photo-nothing-read"
    assert "go closer" in refused.value.message


def test_three_kilobytes_of_text_in_a_code_come_out_whole_or_are_refused_in_a_short_message() -> None:
    text = "calibration bay " * 180
    data = stored(on_a_table(card(text, module_px=4)), "PNG")
    assert decode_photo(data, ANY).found == (Found(text, "qr"),)
    with pytest.raises(BadInput) as refused:
        decode_photo(data, LABEL).only()
    assert refused.value.code == "photo-other-code"
    assert len(refused.value.message) < 200


def test_once_the_budget_is_spent_no_further_look_is_begun() -> None:
    blank, clock = stored(on_a_table()), Clock()
    decode_photo(blank, LABEL, budget_s=2.5, clock=clock)
    assert clock.read == 4  # at the start, and after each of three looks
    unhurried = Clock()
    decode_photo(blank, LABEL, budget_s=1000, clock=unhurried)
    assert unhurried.read == 1 + sum(len(decoders) for _, decoders in CASCADE)


def test_a_code_is_found_even_with_no_time_to_spare() -> None:
    assert decode_photo(stored(on_a_table(card(CAMERA))), LABEL, budget_s=0).only().text == CAMERA


def test_a_bad_photo_is_refused_under_the_name_of_the_senders_field() -> None:
    with pytest.raises(BadInput) as refused:
        decode_photo(b"", LABEL, "vin_photo")
    assert (refused.value.code, refused.value.field) == ("photo-empty", "vin_photo")


def test_a_file_is_read_and_one_that_is_too_large_is_refused(tmp_path: Path) -> None:
    (tmp_path / "label.jpg").write_bytes(stored(on_a_table(card(CAMERA))))
    assert decode_file(tmp_path / "label.jpg", LABEL).only().text == CAMERA
    with (tmp_path / "long.jpg").open("wb") as file:
        file.truncate(40_000_000)
    with pytest.raises(BadInput) as refused:
        decode_file(tmp_path / "long.jpg", LABEL)
    assert (refused.value.code, refused.value.field) == ("photo-too-large", "file")


def test_each_file_gives_its_line_and_a_bad_one_does_not_stop_the_rest(tmp_path: Path) -> None:
    bad, missing, good = tmp_path / "bad.jpg", tmp_path / "missing.jpg", tmp_path / "good.jpg"
    bad.write_bytes(b"no photo")
    good.write_bytes(stored(on_a_table(card(CAMERA), card(VIN_ELSEWHERE, "data-matrix"))))
    first, second, third = decode_lines([bad, missing, good])
    assert (first["file"], first["error"]["code"]) == (str(bad), "photo-not-an-image")
    assert (second["file"], second["error"]["code"]) == (str(missing), "file-unreadable")
    assert third["file"] == str(good)
    assert sorted(third["found"], key=lambda found: found["text"]) == [
        {"text": CAMERA, "symbology": "qr"},
        {"text": VIN_ELSEWHERE, "symbology": "data-matrix"},
    ]
