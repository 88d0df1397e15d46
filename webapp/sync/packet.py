"""What a phone takes along of the jobs: which there are, and each open job's packet and further events."""

from typing import Any

from sqlmodel import Session, col, select

from webapp.core.errors import BadInput, NotFound
from webapp.core.fields import Fields
from webapp.storage import devices, differences, people, privacy, releases
from webapp.storage.arrivals import Numbered, job_digest, lines_of
from webapp.storage.jobs import job_of, jobs_in, last_day_check
from webapp.storage.kit import kit
from webapp.storage.tables import Job, Person, Sheet
from webapp.sync.batch import read_json

FORMAT = 1
MOST_EVENTS = 2000
"""In one answer; whoever wants more asks again after the last of them."""
MOST_ENDED = 8
MOST_DIGESTS = 500
LARGEST_ASKED = 50_000


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


def other_jobs(db: Session) -> dict[str, Any]:
    """What a phone's Today page tells besides: jobs being planned here, the last that ended, the last day's check, the
    release that waits for a decision; and of which jobs it has to drop what it holds.
    """
    check, release = last_day_check(db), releases.waiting(db)
    return {
        "planned": [_row(job) for job in jobs_in(db, "planning")],
        "ended": [_row(job) for job in jobs_in(db, "finished", "abandoned", limit=MOST_ENDED)],
        "check": _row(check) if check else None,
        "release": release.number if release else None,
        "erased": privacy.erased(db),
    }


def _row(job: Job) -> dict[str, Any]:
    names = ("id", "phase", "repair_order", "vin", "vehicle", "created_at", "started_at", "finished_at")
    return {name: getattr(job, name) for name in names}


def digest(db: Session, job: str) -> dict[str, Any]:
    """What both sides compare: the job's digest, and the number of its newest event."""
    found, last = job_digest(db, job)
    return {"digest": found, "last": last}


def asked_for(body: bytes) -> list[str]:
    """The names of the jobs in {"jobs": [id]}. Raises BadInput where it is not of this shape, or has too many."""
    jobs = Fields(read_json(body, "body"), "", ["jobs"]).texts_or_none("jobs") or []
    if len(jobs) > MOST_DIGESTS:
        message = f"jobs has {len(jobs)} entries; at most {MOST_DIGESTS} are compared at once: ask for the others later"
        raise BadInput("too-many", "jobs", message)
    return jobs


def digests(db: Session, jobs: list[str]) -> dict[str, str]:
    """The digests of these jobs, open or not; of one that is not here there is none."""
    here = db.exec(select(Job.id).where(col(Job.id).in_(jobs)).order_by(Job.id))
    return {job: job_digest(db, job)[0] for job in here.all()}


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
    sent, more = [_wire(one) for one in lines[:MOST_EVENTS]], len(lines) > MOST_EVENTS
    return {"events": sent, "more": more, "differences": differences.told(db, job_id), **said}


def _wire(one: Numbered) -> dict[str, Any]:
    return {"server_seq": one.server_seq, "sha256": one.sha256, "line": one.line}


def what_is_accepted(db: Session) -> dict[str, Any]:
    """The labels that count; the people behind the badges, with their roles and what was said of them; the phones."""
    crew = [one for one in people.everyone(db) if one.active]
    known = {one.code: _told_of(one) for one in crew}
    return {"kit": kit(db), "people": known, "phones": devices.keys(db)}


def _told_of(one: Person) -> dict[str, Any]:
    known = people.as_known(one)
    return {"name": known.name, "role": known.role, "short": known.short, "levels": known.levels}
