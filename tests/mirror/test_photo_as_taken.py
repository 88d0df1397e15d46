"""A light photo is kept as the camera took it, pixel by pixel, and nothing of what the camera wrote beside it."""

from base64 import b64decode, b64encode
from io import BytesIO
from typing import Any

import pytest
from PIL import Image, ImageChops, ImageCms, ImageOps
from PIL.ExifTags import IFD, Base

from .conftest import Mirror

BESIDE = (b"A CAMERA", b"GPS", b"owner", b"xmp", b"somebody")
PROFILE = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


def picture(mode: str = "RGB", size: tuple[int, int] = (96, 64)) -> Image.Image:
    """Noise, brighter on top: every table and every restart has something to do."""
    image = Image.effect_noise(size, 90)
    image.paste(255, (0, 0, size[0], size[1] // 3))
    return image.convert(mode)


def taken(image: Image.Image, turned: int | None = 1, **how: Any) -> bytes:
    """A JPEG as a camera writes it: maker, place and turn, a smaller picture, a comment and XMP."""
    exif = image.getexif()
    exif[Base.Make] = "A CAMERA"
    exif.get_ifd(IFD.GPSInfo)[1] = "N"
    if turned is not None:
        exif[Base.Orientation] = turned
    written = BytesIO()
    image.save(written, "JPEG", exif=exif, comment=b"owner: somebody", xmp=b"<x:xmpmeta>somebody</x:xmpmeta>", **how)
    return written.getvalue()


def kept(mirror: Mirror, photo: bytes) -> bytes | None:
    out = mirror.out("photoAsTaken", b64encode(photo).decode())
    return b64decode(out) if out else None


def shown(photo: bytes) -> Image.Image:
    with Image.open(BytesIO(photo)) as image:
        return ImageOps.exif_transpose(image)


def is_same(one: Image.Image, other: Image.Image) -> bool:
    return one.size == other.size and one.mode == other.mode and ImageChops.difference(one, other).getbbox() is None


@pytest.mark.parametrize(
    "how",
    [
        {},
        {"quality": 95, "subsampling": 0},
        {"quality": 30},
        {"progressive": True},
        {"optimize": True},
        {"restart_marker_blocks": 3},
        {"icc_profile": PROFILE},
        {"keep_rgb": True},
    ],
    ids=lambda how: "-".join(how) or "plain",
)
@pytest.mark.parametrize("mode", ["RGB", "L"])
def test_the_picture_is_the_same_to_the_pixel_and_nothing_stands_beside_it(
    mirror: Mirror, mode: str, how: dict[str, Any]
) -> None:
    photo = taken(picture(mode), **how)
    alone = kept(mirror, photo)
    assert alone is not None
    assert is_same(shown(alone), shown(photo))
    assert not [word for word in BESIDE if word in alone]
    with Image.open(BytesIO(alone)) as image:
        assert dict(image.getexif()) == {}
        assert image.info.get("icc_profile") == how.get("icc_profile")


@pytest.mark.parametrize("turned", range(1, 9))
def test_it_stands_as_it_stood(mirror: Mirror, turned: int) -> None:
    photo = taken(picture(), turned)
    alone = kept(mirror, photo)
    assert alone is not None
    assert is_same(shown(alone), shown(photo))
    assert not [word for word in BESIDE if word in alone]
    with Image.open(BytesIO(alone)) as image:
        assert dict(image.getexif()) == ({} if turned == 1 else {Base.Orientation: turned})


def test_where_no_turn_is_told_it_stands_upright(mirror: Mirror) -> None:
    photo = taken(picture(), None)
    alone = kept(mirror, photo)
    assert alone is not None
    assert is_same(shown(alone), shown(photo))


def test_a_second_picture_or_a_moving_one_behind_it_is_left_out(mirror: Mirror) -> None:
    photo = taken(picture())
    assert kept(mirror, photo + taken(picture(size=(32, 32))) + b"ftypmp42 somebody") == kept(mirror, photo)


def test_what_was_kept_is_kept_as_it_is(mirror: Mirror) -> None:
    alone = kept(mirror, taken(picture(), 6))
    assert alone is not None
    assert kept(mirror, alone) == alone


def other(form: str) -> bytes:
    written = BytesIO()
    picture("CMYK" if form == "JPEG" else "RGB").save(written, form)
    return written.getvalue()


def heavy() -> bytes:
    photo = taken(picture(size=(1600, 1200)), quality=100)
    assert len(photo) > 2_000_000
    return photo


@pytest.mark.parametrize(
    "photo",
    [
        b"",
        b"\xff\xd8",
        b"\xff\xd8\xff\xd9",
        b"no picture at all",
        other("PNG"),
        other("JPEG"),
        heavy(),
        taken(picture(size=(5_000, 4_001)), quality=1),
        taken(picture())[:-2],
        taken(picture()).replace(b"\xff\xc0\x00\x11\x08", b"\xff\xc0\x00\x11\x0c"),
        taken(picture()).replace(b"\xff\xc0", b"\xff\xc3"),
        taken(picture()).replace(b"MM\0*\0\0\0\x08", b"MM\0*\0\xff\xff\xff"),
    ],
    ids=[
        "empty",
        "begun",
        "hollow",
        "text",
        "png",
        "cmyk",
        "heavy",
        "large",
        "cut",
        "12-bit",
        "lossless",
        "exif-astray",
    ],
)
def test_what_is_no_such_jpeg_is_drawn_anew(mirror: Mirror, photo: bytes) -> None:
    assert kept(mirror, photo) is None


def test_however_it_is_cut_off_it_is_drawn_anew(mirror: Mirror) -> None:
    photo = taken(picture(size=(32, 32)))
    for length in range(0, len(photo), 7):
        assert kept(mirror, photo[:length]) is None
