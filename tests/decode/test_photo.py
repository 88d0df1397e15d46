"""Bytes that come as a photo: what opens, which way up, and what is refused with which words."""

import io
import random
import struct
import sys
import zlib

import numpy as np
import pillow_heif
import pytest
from PIL import Image

from webapp.core.errors import BadInput
from webapp.decode.photo import LARGEST_BYTES, LARGEST_PIXELS, LONGEST_SIDE_PX, open_photo

FORMATS = ("JPEG", "PNG", "WEBP", "AVIF", "GIF", "BMP", "HEIF")


def picture() -> Image.Image:
    """Return a slope of grey, dark at the left, with a white corner at the top right."""
    grey = np.tile(np.linspace(20, 180, 96, dtype=np.uint8), (64, 1))
    grey[:16, -24:] = 250
    return Image.fromarray(grey).convert("RGB")


def stored(image: Image.Image, kind: str = "JPEG", **options: object) -> bytes:
    pillow_heif.register_heif_opener()
    out = io.BytesIO()
    image.save(out, kind, **options)
    return out.getvalue()


def refusal(data: bytes) -> BadInput:
    with pytest.raises(BadInput) as refused:
        open_photo(data)
    assert refused.value.field == "photo"
    return refused.value


def png_header(width: int, height: int) -> bytes:
    """Return a PNG of a few bytes whose header claims a size."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    header = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + header + chunk(b"IDAT", zlib.compress(b"\0" * 100)) + chunk(b"IEND", b"")


@pytest.mark.parametrize("kind", FORMATS)
def test_every_format_a_phone_makes_opens_in_grey_with_its_size(kind: str) -> None:
    opened = open_photo(stored(picture(), kind))
    assert (opened.mode, opened.size) == ("L", (96, 64))
    assert np.abs(np.asarray(opened).astype(int) - np.asarray(picture().convert("L"))).mean() < 8


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_photo_stands_upright_whatever_way_the_phone_was_held(orientation: int) -> None:
    undo = {
        2: Image.Transpose.FLIP_LEFT_RIGHT,
        3: Image.Transpose.ROTATE_180,
        4: Image.Transpose.FLIP_TOP_BOTTOM,
        5: Image.Transpose.TRANSPOSE,
        6: Image.Transpose.ROTATE_90,
        7: Image.Transpose.TRANSVERSE,
        8: Image.Transpose.ROTATE_270,
    }
    as_stored = picture().transpose(undo[orientation]) if orientation in undo else picture()
    exif = Image.Exif()
    exif[0x0112] = orientation
    opened = open_photo(stored(as_stored, "JPEG", exif=exif))
    assert np.abs(np.asarray(opened).astype(int) - np.asarray(picture().convert("L"))).mean() < 8


@pytest.mark.filterwarnings("ignore:Corrupt EXIF data")
def test_a_garbled_exif_note_does_not_spoil_the_photo() -> None:
    data = stored(picture(), "JPEG", exif=b"Exif\0\0II*\0\xff\xff\xff\xff garbage")
    assert open_photo(data).size == (96, 64)


def test_of_an_animation_the_first_picture_counts() -> None:
    frames = [picture(), Image.new("RGB", (96, 64), "black")]
    for kind in ("GIF", "WEBP"):
        data = stored(frames[0], kind, save_all=True, append_images=frames[1:])
        assert np.asarray(open_photo(data)).max() > 240


def test_what_is_transparent_is_seen_as_white_paper() -> None:
    drawing = Image.new("RGBA", (40, 40), (0, 0, 0, 0))
    drawing.paste((0, 0, 0, 255), (10, 10, 30, 30))
    grey = np.asarray(open_photo(stored(drawing, "PNG")))
    assert (grey[0, 0], grey[20, 20]) == (255, 0)


def test_sixteen_bits_of_grey_are_scaled_and_not_cut_off() -> None:
    deep = Image.fromarray(np.array([[0, 0x7FFF, 0xFFFF]], dtype=np.uint16))
    assert np.asarray(open_photo(stored(deep, "PNG"))).tolist() == [[0, 127, 255]]


def test_a_huge_photo_is_reduced_before_it_is_looked_at() -> None:
    wide = Image.new("L", (9000, 2000), 128)
    assert open_photo(stored(wide)).size == (LONGEST_SIDE_PX, round(2000 * LONGEST_SIDE_PX / 9000))
    assert open_photo(stored(wide, "PNG")).size == (LONGEST_SIDE_PX, round(2000 * LONGEST_SIDE_PX / 9000))


def test_a_picture_of_one_pixel_opens() -> None:
    assert open_photo(stored(Image.new("L", (1, 1)), "PNG")).size == (1, 1)


def test_an_empty_file_is_refused() -> None:
    assert refusal(b"").code == "photo-empty"


def test_forty_megabytes_are_refused_with_the_limit_named() -> None:
    error = refusal(stored(picture()) + bytes(40_000_000))
    assert error.code == "photo-too-large"
    assert "25 MB" in error.message


def test_the_largest_allowed_file_is_still_opened() -> None:
    data = stored(picture())
    assert open_photo(data + bytes(LARGEST_BYTES - len(data))).size == (96, 64)


@pytest.mark.parametrize(
    "data",
    [b"%PDF-1.7 not a photo", b"<svg xmlns='http://www.w3.org/2000/svg'/>", b"GIF89a", b"\xff\xd8\xff", b"\0" * 500],
)
def test_what_is_no_image_is_refused_with_the_formats_named(data: bytes) -> None:
    error = refusal(data)
    assert error.code == "photo-not-an-image"
    assert "JPEG" in error.message


@pytest.mark.parametrize(("width", "height"), [(60_000, 60_000), (10_000, 8_001), (2**31 - 1, 2**31 - 1)])
def test_a_decompression_bomb_is_refused_by_its_header(width: int, height: int) -> None:
    assert width * height > LARGEST_PIXELS
    error = refusal(png_header(width, height))
    assert error.code == "photo-too-many-pixels"
    assert "80 million" in error.message


def test_a_jpeg_of_endless_scans_is_refused_unopened() -> None:
    data = stored(picture(), "JPEG", progressive=True)
    scan = data[data.rindex(b"\xff\xda") : -2]
    assert open_photo(data).size == (96, 64)
    assert refusal(data[:-2] + scan * 200 + data[-2:]).code == "photo-damaged"


@pytest.mark.parametrize("kind", FORMATS)
@pytest.mark.parametrize("part", [0.2, 0.5, 0.9])
def test_a_photo_that_was_not_sent_whole_is_refused_and_never_half_read(kind: str, part: float) -> None:
    noisy = Image.fromarray(np.random.default_rng(5).integers(0, 255, (200, 300, 3), dtype=np.uint8))
    data = stored(noisy, kind)
    error = refusal(data[: int(len(data) * part)])
    assert error.code in {"photo-damaged", "photo-not-an-image"}


def outcome(data: bytes) -> str:
    """Return the opened picture's mode or the refusal's code; any other exception ends the test."""
    try:
        return open_photo(data).mode
    except BadInput as error:
        return error.code


@pytest.mark.filterwarnings("ignore")  # what Pillow remarks about garbled notes is no refusal
def test_garbled_bytes_never_end_in_anything_but_a_picture_or_a_refusal() -> None:
    chance = random.Random(20)
    for kind in FORMATS:
        whole = stored(picture(), kind)
        for _ in range(60):
            data = bytearray(whole)
            for _ in range(chance.randint(1, 8)):
                data[chance.randrange(len(data))] = chance.randrange(256)
            assert outcome(bytes(data)) in {"L", "photo-damaged", "photo-not-an-image", "photo-too-many-pixels"}


def test_without_the_heic_library_the_message_says_what_to_do(monkeypatch: pytest.MonkeyPatch) -> None:
    photo = stored(picture(), "HEIF")
    monkeypatch.setitem(sys.modules, "pillow_heif", None)  # as if it were not installed: importing it fails
    error = refusal(photo)
    assert error.code == "photo-needs-heif"
    assert "most compatible" in error.message
