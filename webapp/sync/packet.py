"""What a phone takes along: the shelf to start jobs from, the open jobs, and each job's packet and further events."""

import hashlib
import json
from pathlib import Path
from typing import Any

from sqlmodel import Session, col, select

from webapp.core.errors import NotFound
from webapp.core.procedure import Library
from webapp.core.shelf import shelf
from webapp.messages import say
from webapp.storage import people
from webapp.storage.arrivals import Numbered, job_digest, lines_of
from webapp.storage.jobs import job_of
from webapp.storage.kit import kit
from webapp.storage.seal import sealing_key
from webapp.storage.tables import Job, Sheet

FORMAT = 1
MOST_EVENTS = 2000
"""In one answer; whoever wants more asks again after the last of them."""


def open_jobs(db: Session) -> list[dict[str, Any]]:
    """The jobs that a phone may work, each with its digest and the number of its newest event."""
    jobs = db.exec(select(Job).where(Job.phase == "open", col(Job.sheet).is_not(None)).order_by(Job.created_at, Job.id))
    return [
        {
            "id": job.id,
            "sort": job.sort,
            "repair_order": job.repair_order,
            "vin": job.vin,
            "vehicle": job.vehicle,
            "started_at": job.started_at,
            "sheet": job.sheet,
            **digest(db, job.id),
        }
        for job in jobs
    ]


def digest(db: Session, job: str) -> dict[str, Any]:
    """What both sides compare: the job's digest, and the number of its newest event."""
    found, last = job_digest(db, job)
    return {"digest": found, "last": last}


def packet(db: Session, job_id: str) -> dict[str, Any]:
    """All that a phone needs to work a started job alone.

    Raises NotFound (`job-unknown`, or `sheet-unknown` for a job that has not been started).
    """
    job = job_of(db, job_id)
    sheet = db.get(Sheet, job.sheet or "")
    if sheet is None:
        raise NotFound("sheet-unknown", "job", f"job='{job_id}' has not been started; open its plan and start it")
    made = {"format": FORMAT, "job": job_id, "phase": job.phase, "sheet": sheet.hash, "body": sheet.body}
    return made | what_is_accepted(db) | events(db, job_id, 0)


def events(db: Session, job_id: str, after: int) -> dict[str, Any]:
    """The job's events from any device whose number is greater than `after`. Raises NotFound (`job-unknown`).

    `more` says that there are further ones; the digest is that of all of them.
    """
    job_of(db, job_id)
    said = digest(db, job_id)
    lines = [one for one in lines_of(db, job_id, after) if one.server_seq <= said["last"]]
    return {"events": [_wire(one) for one in lines[:MOST_EVENTS]], "more": len(lines) > MOST_EVENTS, **said}


def _wire(one: Numbered) -> dict[str, Any]:
    return {"server_seq": one.server_seq, "sha256": one.sha256, "line": one.line}


def what_is_accepted(db: Session) -> dict[str, Any]:
    """The labels that count, and the people behind the badges with their roles."""
    crew = [one for one in people.everyone(db) if one.active]
    return {"kit": kit(db), "people": {one.code: {"name": one.name, "role": one.role} for one in crew}}


def whole_shelf(db: Session, library: Library, data: Path) -> tuple[str, str]:
    """All that a phone needs to start a job alone, as JSON, and its SHA-256 for the ETag.

    Kit and people change from day to day, the shelf itself with the procedures; the phone fetches it anew when the hash
    has changed.
    """
    said = json.dumps({**what_is_accepted(db), "sealing_key": sealing_key(data)}, sort_keys=True)
    text = f'{{"shelf":{_shelf(library)},{said[1:]}'
    return text, hashlib.sha256(text.encode()).hexdigest()


_shelves: dict[int, tuple[Library, str]] = {}


def _shelf(library: Library) -> str:
    """Made once for a library, which is read when the server starts: its drawings take a second or two."""
    if id(library) not in _shelves:
        _shelves[id(library)] = library, json.dumps(shelf(library, say), ensure_ascii=False, separators=(",", ":"))
    return _shelves[id(library)][1]
