"""A job's record as a file that proves itself: everything that was recorded, and the log's proof (`core.proven`)."""

import base64
import json
from pathlib import Path
from typing import Any

from sqlmodel import Session, col, select

from webapp.core.errors import Conflict, shown
from webapp.core.evidence import AMENDED
from webapp.core.proven import FORMAT, NUMBER
from webapp.storage import log
from webapp.storage.arrivals import lines_of
from webapp.storage.attachments import photo_path
from webapp.storage.keys import as_jwk
from webapp.storage.log_tables import Amendment
from webapp.storage.own_keys import RECORDS, private_key
from webapp.storage.privacy import need_whole
from webapp.storage.sheets import sheet_text
from webapp.storage.tables import Job

ATTACHED = "record.json"
"""What a record's PDF carries its file as."""


def record_file(db: Session, folder: Path, photos: Path, job: Job, now: str) -> dict[str, Any]:
    """The file, as JSON. `folder` is the shop's data; call it inside a `writing` transaction, since a head is signed.

    Raises Conflict (`job-not-ended`) for a job that has not come to an end, and (`record-erased`) for one of which
    something was erased.
    """
    need_whole(db, job.id)
    entries = log.entries_of(db, job.id)
    if not entries:
        what = f"job={shown(job.id)} has not ended, so nothing is in the log yet; finish or abandon it first"
        raise Conflict("job-not-ended", "job", what)
    head = log.head(db, folder, now)
    proofs = {one.number: log.proof(db, one, head) for one in entries}
    newest = proofs[entries[-1].number]
    lines = sorted((json.loads(one.line) | {"": one.line} for one in lines_of(db, job.id)), key=_place)
    return {
        FORMAT: NUMBER,
        **_placed(newest),
        "head": {"size": head.size, "root": head.root, "at": head.at, "signature": head.signature},
        "key": public_jwk(folder),
        "sheet": sheet_text(db, job.sheet or ""),
        "lines": [one[""] for one in lines],
        "photos": {name: _photo(photos, name) for name in _photographed(lines)},
        "amendments": [
            {"amendment": {name: getattr(one, name) for name in AMENDED}, **_placed(proofs[number])}
            for one, number in zip(amendments(db, job.id), _amended(entries), strict=True)
        ],
    }


def public_jwk(folder: Path) -> dict[str, str]:
    """The public half of the key that signs the log: all that it takes to check a record."""
    return as_jwk(private_key(folder, RECORDS).public_key())


def amendments(db: Session, job: str) -> list[Amendment]:
    """What was corrected after the job's end, in order."""
    return list(db.exec(select(Amendment).where(Amendment.job == job).order_by(col(Amendment.number))))


def _placed(one: log.Proof) -> dict[str, Any]:
    return {"entry": one.text, "number": one.number, "path": one.path}


def _amended(entries: list[Any]) -> list[int]:
    return [one.number for one in entries if '"amendment":' in one.text]


def _place(event: dict[str, Any]) -> tuple[int, str, int]:
    return event.get("round", 0), event["device"], event["seq"]


def _photographed(events: list[dict[str, Any]]) -> list[str]:
    return sorted({one["data"]["sha256"] for one in events if one["kind"] == "photographed"})


def _photo(photos: Path, sha256: str) -> str:
    path = photo_path(photos, sha256)
    return base64.b64encode(path.read_bytes()).decode() if path.is_file() else ""
