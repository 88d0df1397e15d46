"""Releases for the tests: the procedures that come along, changed, and given out by a head office."""

from collections.abc import Callable, Mapping

from webapp.core.release import Release, signed_text
from webapp.library.stock import files_in
from webapp.paths import PROCEDURES as SHIPPED
from webapp.storage.keys import encoded, sign
from webapp.storage.office import door, releases
from webapp.storage.own_keys import RECORDS, private_key
from webapp.sync.asking import Answer, Exchange

from .conftest import NOW, Kept

CAMERA = "forward-camera-static.yaml"
COMPACT = "vehicles/kestovar-compact.yaml"
WHY = "The camera stand is closer now"
TIGHTER = "distance: {nominal: 1350 mm, tolerance: %s mm, reference: hub}"
GLASS = "Look through the glass in front of the camera, from outside and from inside."
OTHER_GLASS = "Look through all of the glass in front of the camera, from outside and from inside."
CLOSER = (
    (CAMERA, "revision: 2", "revision: 3"),
    (CAMERA, GLASS, OTHER_GLASS),
    (COMPACT, TIGHTER % 5, TIGHTER % 3),
)


def changed(*changes: tuple[str, str, str]) -> dict[str, bytes]:
    """The files that come along, with these texts replaced: (place, before, after)."""
    files = files_in(SHIPPED)
    for place, before, after in changes:
        assert before.encode() in files[place], (place, before)
        files[place] = files[place].replace(before.encode(), after.encode(), 1)
    return files


def give_out(office: Kept, files: Mapping[str, bytes], note: str = WHY, now: str = NOW) -> Release:
    """Release these files at head office."""
    with door.of_everything(office.engine) as db:
        return releases.make(db, files, note, "Tomas", now, releases.signing(office.settings.data)).release


def answering(exchange: Exchange, path: str, make: Callable[[Answer], Answer]) -> Exchange:
    """The same line, on which what is answered under that path comes otherwise."""

    def asked(method: str, asked_for: str, headers: Mapping[str, str], body: bytes) -> Answer:
        answer = exchange(method, asked_for, headers, body)
        return make(answer) if asked_for.startswith(path) and answer.status == 200 else answer

    return asked


def signed_by(office: Kept, manifest: str) -> dict[str, str]:
    """Any manifest with head office's own signature."""
    key = private_key(office.settings.data, RECORDS)
    return {"manifest": manifest, "signature": encoded(sign(key, signed_text(manifest)))}
