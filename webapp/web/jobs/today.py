"""Today: the equipment check, the open jobs, and the way to a new one."""

from dataclasses import dataclass
from datetime import datetime

from flask import redirect, render_template
from sqlmodel import Session
from werkzeug.wrappers import Response

from webapp.core.view.frame import frame
from webapp.messages import say
from webapp.storage import jobs
from webapp.storage.progress import progress_of
from webapp.storage.tables import Job
from webapp.web import db, moment
from webapp.web.jobs import pages
from webapp.web.jobs.starting import start_day_check

FINISHED_SHOWN = 8


@dataclass(frozen=True)
class Row:
    """A job of the list, and how far it has come."""

    job: Job
    title: str
    section: str
    settled: int
    of: int
    paused: bool


@pages.get("/")
def show_today() -> str:
    with db.session() as held:
        opened = [_row(held, job) for job in jobs.jobs_in(held, "open")]
        planned = jobs.jobs_in(held, "planning")
        finished = jobs.jobs_in(held, "finished", "abandoned", limit=FINISHED_SHOWN)
        check = jobs.last_day_check(held)
    return render_template(
        "jobs/today.html",
        opened=opened,
        planned=planned,
        finished=finished,
        check=_check(check),
        titles={job.id: title(job) for job in [*planned, *finished]},
    )


def title(job: Job) -> str:
    """What the vehicle is called, as far as it is known."""
    vehicle = db.library().vehicles.get(job.vehicle or "")
    return f"{vehicle.maker} {vehicle.model}" if vehicle else job.vin or say("today-vehicle-unknown")


def _row(held: Session, job: Job) -> Row:
    progress = progress_of(held, job.id)
    seen = frame(progress.sheet, progress.state, moment.now(), say)
    return Row(job, title(job), seen["section"], seen["settled"], seen["of"], progress.state.paused is not None)


@dataclass(frozen=True)
class DayCheck:
    """The day's equipment check: valid (finished today), running, or due."""

    status: str
    job: str | None
    time: str


def _check(job: Job | None) -> DayCheck:
    today = moment.today()
    if job and job.phase == "open":
        return DayCheck("running", job.id, "")
    if job and job.phase == "finished" and job.finished_at:
        local = datetime.fromisoformat(job.finished_at).astimezone()
        if local.date().isoformat() == today:
            return DayCheck("valid", job.id, f"{local:%H:%M}")
    return DayCheck("due", None, "")


@pages.post("/equipment-check")
def begin_day_check() -> Response:
    """Begin today's check, or go on with the one that runs already."""
    with db.writing() as held:
        last = jobs.last_day_check(held)
        job_id = last.id if last and last.phase == "open" else start_day_check(held)
    return redirect(f"/jobs/{job_id}", 303)
