"""A photo is on the disk before anything names it, without what the camera wrote beside the picture."""

import errno
import os
import resource
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image
from PIL.ExifTags import IFD, Base
from sqlalchemy.engine import Engine

from tests.storage.test_journal import SCAN
from webapp.core.errors import NotFound, Unavailable
from webapp.storage.attachments import attach, attachment, photo_path, write_photo
from webapp.storage.engine import session, writing
from webapp.storage.jobs import create_job
from webapp.storage.journal import append


def from_a_camera(width: int, height: int, turned: int = 1) -> Image.Image:
    """A picture as a phone sends it: red on top, blue below, with its place and its turn beside it."""
    image = Image.new("RGB", (width, height), (20, 20, 200))
    image.paste((200, 20, 20), (0, 0, width, height // 2))
    exif = image.getexif()
    exif[Base.Orientation] = turned
    exif[Base.Make] = "A CAMERA"
    exif.get_ifd(IFD.GPSInfo)[1] = "N"
    sent = BytesIO()
    image.save(sent, "JPEG", exif=exif, comment=b"owner: somebody")
    return Image.open(BytesIO(sent.getvalue()))


@contextmanager
def a_disk_with_room_for(size: int) -> Iterator[None]:
    """No file may grow beyond `size` bytes: the kernel then refuses a write as it does on a full disk."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


def test_what_the_camera_wrote_beside_the_picture_is_gone(tmp_path: Path) -> None:
    photo = write_photo(tmp_path, from_a_camera(64, 48))
    kept = photo_path(tmp_path, photo.sha256).read_bytes()
    assert len(kept) == photo.size
    for word in (b"CAMERA", b"owner", b"Exif", b"GPS"):
        assert word not in kept
    with Image.open(BytesIO(kept)) as image:
        assert dict(image.getexif()) == {}


def test_it_is_turned_upright(tmp_path: Path) -> None:
    photo = write_photo(tmp_path, from_a_camera(64, 48, turned=6))  # the camera was held a quarter turn
    with Image.open(photo_path(tmp_path, photo.sha256)) as image:
        assert image.size == (48, 64)
        red, blue = image.getpixel((40, 32)), image.getpixel((8, 32))
    assert red[0] > 150 > red[2]  # type: ignore[index,operator]
    assert blue[2] > 150 > blue[0]  # type: ignore[index,operator]


def test_a_large_photo_is_made_smaller_and_a_small_one_left(tmp_path: Path) -> None:
    for size, kept in (((4000, 3000), (2560, 1920)), ((640, 480), (640, 480))):
        photo = write_photo(tmp_path, from_a_camera(*size))
        with Image.open(photo_path(tmp_path, photo.sha256)) as image:
            assert image.size == kept


def test_the_same_photo_is_kept_once(tmp_path: Path) -> None:
    assert write_photo(tmp_path, from_a_camera(64, 48)) == write_photo(tmp_path, from_a_camera(64, 48))
    assert len([path for path in tmp_path.rglob("*") if path.is_file()]) == 1


def test_on_a_full_disk_it_is_refused_plainly_and_nothing_stays(tmp_path: Path) -> None:
    image = from_a_camera(640, 480)
    with a_disk_with_room_for(100), pytest.raises(Unavailable) as refused:
        write_photo(tmp_path, image)
    assert refused.value.code == "disk-full"
    assert refused.value.__cause__.errno == errno.EFBIG  # type: ignore[union-attr]
    assert [path for path in tmp_path.rglob("*") if path.is_file()] == []


def test_a_photo_belongs_to_its_event_and_is_found_by_name(engine: Engine, tmp_path: Path) -> None:
    photo = write_photo(tmp_path, from_a_camera(64, 48))
    with writing(engine) as db:
        create_job(db, SCAN.job, "calibration", SCAN.at)
        append(db, [SCAN])
        attach(db, photo, SCAN)
    with session(engine) as db:
        row = attachment(db, photo.sha256)
    assert (row.event, row.job, row.media, row.size) == (SCAN.id, SCAN.job, "image/jpeg", photo.size)


@pytest.mark.parametrize("name", ["", "..", "../secret", "0" * 63, "G" * 64, f"{'0' * 64}{os.sep}x"])
def test_what_cannot_be_the_name_of_a_photo_leads_nowhere(tmp_path: Path, name: str) -> None:
    with pytest.raises(NotFound):
        photo_path(tmp_path, name)


def test_an_unknown_photo_is_named(engine: Engine) -> None:
    with session(engine) as db, pytest.raises(NotFound, match="is not kept here"):
        attachment(db, "0" * 64)
