"""Photos kept with a job: the bytes lie in the data folder, named by their SHA-256; a row says what they belong to."""

import hashlib
import os
import re
import tempfile
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

from PIL import Image, ImageOps
from sqlmodel import Session, col, select

from webapp.core.errors import NotFound, shown
from webapp.core.events import Event
from webapp.storage.tables import Attachment
from webapp.storage.trouble import plainly

MEDIA = "image/jpeg"
LONGEST_PX = 2560
QUALITY = 85


@dataclass(frozen=True)
class Photo:
    """What was written, and by what name: `sha256` in hexadecimal, `size` in bytes."""

    sha256: str
    media: str
    size: int


def write_photo(folder: Path, image: Image.Image) -> Photo:
    """Write the picture below `folder` and return its name. Written twice it is there once.

    It is drawn anew: turned upright, at most 2560 pixels long, and without anything that the camera wrote beside the
    picture (place, time, owner). When this returns the bytes are on the disk; the row that names them comes after, so
    a crash leaves a file that nothing names, never a name without a file.

    Raises Unavailable where the disk is full.
    """
    data = _redrawn(image)
    photo = Photo(hashlib.sha256(data).hexdigest(), MEDIA, len(data))
    path = photo_path(folder, photo.sha256)
    with plainly():
        path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(path, data)
    return photo


def attach(db: Session, photo: Photo, event: Event) -> None:
    """Say which event the photo belongs to. The event must be in the journal, or come in this transaction before."""
    row = Attachment(
        event=event.id, sha256=photo.sha256, media=photo.media, size=photo.size, job=event.job, made_at=event.at
    )
    db.add(row)


def attachment(db: Session, sha256: str) -> Attachment:
    """Return the row of a photo by its name. Raises NotFound (`photo-unknown`)."""
    found = db.exec(select(Attachment).where(col(Attachment.sha256) == sha256)).first()
    if found is None:
        raise NotFound("photo-unknown", "photo", f"photo={shown(sha256)} is not kept here")
    return found


def photo_path(folder: Path, sha256: str) -> Path:
    """Return where a photo's bytes lie. Raises NotFound (`photo-unknown`) for what cannot be a photo's name."""
    if not re.fullmatch("[0-9a-f]{64}", sha256):
        raise NotFound("photo-unknown", "photo", f"photo={shown(sha256)} is not the name of a photo")
    return folder / sha256[:2] / sha256


def _redrawn(image: Image.Image) -> bytes:
    upright = ImageOps.exif_transpose(image).convert("RGB")
    upright.thumbnail((LONGEST_PX, LONGEST_PX))
    bare = Image.frombytes("RGB", upright.size, upright.tobytes())  # takes the pixels along and nothing else
    written = BytesIO()
    bare.save(written, "JPEG", quality=QUALITY, optimize=True)
    return written.getvalue()


def write_whole(path: Path, data: bytes) -> None:
    """Write a file that is there whole or not at all; when this returns, it is on the disk."""
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=".new-")
    new = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        new.replace(path)
    except BaseException:
        new.unlink(missing_ok=True)
        raise
    folder = os.open(path.parent, os.O_RDONLY)
    try:
        os.fsync(folder)  # a renamed file is safe only once its folder is
    finally:
        os.close(folder)
