"""Today: the equipment check, the open jobs, and the way to a new one."""

from dataclasses import dataclass

from flask import redirect, render_template
from sqlmodel import Session
from werkzeug.wrappers import Response

from webapp.core.kinds import Moment
from webapp.core.view.frame import frame
from webapp.messages import say
from webapp.storage import jobs
from webapp.storage.progress import progress_of
from webapp.storage.tables import Job
from webapp.web import db, moment
from webapp.web.jobs import pages
from webapp.web.jobs.starting import start_day_check
from webapp.web.jobs.taps import tap

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
        day_of=moment.day_of,
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
    """The day's equipment check: valid (begun today and finished), running (begun today), or due."""

    status: str
    job: str | None
    time: str


def _check(job: Job | None) -> DayCheck:
    if job is None or moment.day_of(job.started_at or job.created_at) != moment.today():
        return DayCheck("due", None, "")
    if job.finished_at:
        return DayCheck("valid", job.id, f"{moment.local(job.finished_at):%H:%M}")
    return DayCheck("running", job.id, "")


@pages.post("/equipment-check")
def begin_day_check() -> Response:
    """Begin today's check, or go on with the one that runs already; one left open on another day ends here."""
    with db.session() as held:
        last = jobs.last_day_check(held)
    check = _check(last)
    if check.status == "valid":
        return redirect(f"/jobs/{check.job}/record", 303)
    if check.status == "due" and last and last.phase == "open":
        overtaken = {"do": "abandon", "reason": say("today-check-overtaken")}
        tap(last.id, overtaken, Moment(moment.now(), moment.today()))
    with db.writing() as held:
        last = jobs.last_day_check(held)
        job_id = last.id if last and _check(last).status == "running" else start_day_check(held)
    return redirect(f"/jobs/{job_id}", 303)
