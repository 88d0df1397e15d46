"""Photos that come from a phone, in pieces: what has come of one is kept, and the next piece goes on where it ends.

A photo is named by its SHA-256 in the event that it belongs to, so nothing else is taken; the name is checked when all
of it is there, and only then does it stand among the photos.
"""

import hashlib
import os
from fcntl import LOCK_EX, flock
from io import BytesIO
from pathlib import Path
from typing import BinaryIO

from PIL import Image, UnidentifiedImageError
from sqlmodel import Session, col, select

from webapp.core.errors import BadInput, Conflict, NotFound, shown
from webapp.core.events import Event
from webapp.storage.attachments import photo_path, write_whole
from webapp.storage.tables import Attachment
from webapp.storage.trouble import plainly

LARGEST_PHOTO = 15_000_000
LARGEST_PIECE = 1_000_000
ON_THE_PHONE = 0
"""The size of a photo of which only the name has come so far."""


def expect(db: Session, folder: Path, event: Event) -> None:
    """Say which event a photo belongs to, wherever its bytes are by now."""
    name = event.data["sha256"]
    path = photo_path(folder, name)
    size = path.stat().st_size if path.is_file() else ON_THE_PHONE
    db.add(
        Attachment(event=event.id, sha256=name, media=event.data["media"], size=size, job=event.job, made_at=event.at)
    )


def need_wanted(db: Session, name: str) -> None:
    """Raise NotFound (`photo-unknown`) for a photo that no event of the journal names."""
    if db.exec(select(Attachment.event).where(col(Attachment.sha256) == name)).first() is None:
        what = f"photo={shown(name)} is named by no event here; send its event first"
        raise NotFound("photo-unknown", "photo", what)


def offset_of(folder: Path, name: str) -> tuple[int, bool]:
    """How many bytes of a photo have come, and whether that is all of it."""
    if (whole := photo_path(folder, name)).is_file():
        return whole.stat().st_size, True
    begun = _begun(folder, name)
    return (begun.stat().st_size if begun.is_file() else 0), False


def add_piece(folder: Path, name: str, offset: int, total: int, piece: bytes) -> tuple[int, bool]:
    """Add the bytes that begin at `offset` of a photo of `total` bytes; return as `offset_of` does.

    When this returns, the piece is on the disk.

    Raises BadInput (`photo-too-large`, `piece-too-large`, `piece-beyond`, `photo-damaged`), or Conflict
    (`piece-offset`) where what has come ends elsewhere: ask for the offset, and go on from there.
    """
    # All bytes may have come before the process was killed: a last piece of none then finishes the photo.
    _need_size(total, piece, least=0 if offset == total else 1)
    begun = _begun(folder, name)
    with plainly():
        begun.parent.mkdir(parents=True, exist_ok=True)
        with begun.open("ab") as file:
            flock(file, LOCK_EX)  # the same piece may come twice at once, after a time-out
            return _append(folder, name, file, offset, total, piece)


def _append(folder: Path, name: str, file: BinaryIO, offset: int, total: int, piece: bytes) -> tuple[int, bool]:
    has, whole = offset_of(folder, name)
    if whole:
        _begun(folder, name).unlink(missing_ok=True)
        return has, True
    if offset != has:
        raise Conflict("piece-offset", "offset", f"offset={offset}: {has} bytes have come; go on from there")
    if offset + len(piece) > total:
        message = f"offset={offset} and {len(piece)} bytes more go beyond the photo's {total}; ask for the offset"
        raise BadInput("piece-beyond", "offset", message)
    file.write(piece)
    file.flush()
    os.fsync(file.fileno())
    if offset + len(piece) == total:
        _finish(folder, name)
    return offset + len(piece), offset + len(piece) == total


def take_whole(db: Session, folder: Path, name: str, data: bytes) -> None:
    """Take a photo that comes at once, in a file. Raises as `need_wanted` and `add_piece` do."""
    need_wanted(db, name)
    if not data:
        _need_size(0, data)
    has, whole = offset_of(folder, name)
    while not whole:
        has, whole = add_piece(folder, name, has, len(data), data[has : has + LARGEST_PIECE])
    note_arrived(db, name, has)


def note_arrived(db: Session, name: str, size: int) -> None:
    """Write down that all of a photo is here."""
    for row in db.exec(select(Attachment).where(col(Attachment.sha256) == name, Attachment.size == ON_THE_PHONE)):
        row.size = size
        db.add(row)


def _need_size(total: int, piece: bytes, least: int = 1) -> None:
    if not 1 <= total <= LARGEST_PHOTO:
        raise BadInput("photo-too-large", "total", f"total={total} must be 1 to {LARGEST_PHOTO} bytes; take it smaller")
    if not least <= len(piece) <= LARGEST_PIECE:
        raise BadInput("piece-too-large", "body", f"body has {len(piece)} bytes; a piece has 1 to {LARGEST_PIECE}")


def _begun(folder: Path, name: str) -> Path:
    return photo_path(folder, name).parent / f".begun-{name}"


def _finish(folder: Path, name: str) -> None:
    begun = _begun(folder, name)
    data = begun.read_bytes()
    if hashlib.sha256(data).hexdigest() != name or not _is_jpeg(data):
        begun.unlink()
        what = f"photo={shown(name)}: what came is not the JPEG of that SHA-256; all of it was dropped, send it anew"
        raise BadInput("photo-damaged", "photo", what)
    write_whole(photo_path(folder, name), data)
    begun.unlink()


def _is_jpeg(data: bytes) -> bool:
    try:
        with Image.open(BytesIO(data), formats=["JPEG"]) as image:
            image.verify()
    except (UnidentifiedImageError, OSError, SyntaxError, ValueError, Image.DecompressionBombError):
        return False
    return True
