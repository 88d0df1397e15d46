"""Jobs: made, found, listed. What happens on a job is the journal's."""

from typing import Any

from sqlmodel import Session, col, func, select

from webapp.core.errors import NotFound, shown
from webapp.storage.tables import Job


def create_job(db: Session, job_id: str, sort: str, at: str, **about: Any) -> Job:
    """Add a job in phase `planning`. `sort` is calibration or day; `about` are further fields of the table Job."""
    job = Job(**({"id": job_id, "sort": sort, "phase": "planning", "created_at": at} | about))
    db.add(job)
    db.flush()
    return job


def job_of(db: Session, job_id: str) -> Job:
    """Return the job of that id. Raises NotFound (`job-unknown`)."""
    if (found := db.get(Job, job_id)) is None:
        raise unknown(job_id)
    return found


def unknown(job_id: str) -> NotFound:
    return NotFound("job-unknown", "job", f"job={shown(job_id)} is not known here; open it from the list of jobs")


def jobs_in(db: Session, *phases: str, sort: str = "calibration", limit: int = 500) -> list[Job]:
    """Return the jobs in any of these phases, the newest first."""
    chosen = select(Job).where(col(Job.phase).in_(phases), col(Job.sort) == sort)
    return list(db.exec(chosen.order_by(col(Job.created_at).desc(), col(Job.id).desc()).limit(limit)))


def finished_since(db: Session, since: str) -> int:
    """How many vehicles' jobs were finished since that instant."""
    meant = Job.sort == "calibration", Job.phase == "finished", col(Job.finished_at) >= since
    return db.exec(select(func.count()).select_from(Job).where(*meant)).one()


def others_on(db: Session, vin: str, but: str = "") -> list[Job]:
    """Return the jobs on that VIN that are being planned or worked, the newest first; job `but` is left out."""
    chosen = select(Job).where(col(Job.vin) == vin, col(Job.phase).in_(("planning", "open")), col(Job.id) != but)
    return list(db.exec(chosen.order_by(col(Job.created_at).desc(), col(Job.id).desc()))) if vin else []


def last_day_check(db: Session) -> Job | None:
    """Return the equipment check that was begun last, finished or not."""
    chosen = select(Job).where(col(Job.sort) == "day", col(Job.phase) != "abandoned")
    return db.exec(chosen.order_by(col(Job.created_at).desc(), col(Job.id).desc())).first()


def day_check_before(db: Session, at: str, since: str) -> Job | None:
    """Return the equipment check that was begun at `since` or later and finished last before `at`, if any."""
    chosen = select(Job).where(
        Job.sort == "day", Job.phase == "finished", col(Job.finished_at) <= at, col(Job.started_at) >= since
    )
    return db.exec(chosen.order_by(col(Job.finished_at).desc())).first()
