"""The plan: shown, changed with a reason, and started."""

from flask import redirect, request
from sqlmodel import Session
from werkzeug.wrappers import Response

from webapp.core.errors import BadInput, BaybookError
from webapp.core.intake import require_complete
from webapp.core.plan import changed
from webapp.core.view.plan import plan_view
from webapp.messages import say
from webapp.storage import jobs, releases, times
from webapp.storage.kit import kit
from webapp.storage.tables import Job
from webapp.web import db, moment, worded
from webapp.web.jobs import pages
from webapp.web.jobs.fitting import fit_of
from webapp.web.jobs.page import facts_of, page
from webapp.web.jobs.starting import start_job
from webapp.web.refusals import status_of


@pages.get("/jobs/<job_id>/plan")
def show_plan(job_id: str) -> Response:
    with db.session() as held:
        job = jobs.job_of(held, job_id)
        return _elsewhere(job) or _page(held, job)


def _elsewhere(job: Job) -> Response | None:
    """Where to go with a job that is not, or not yet, to be planned."""
    if job.phase != "planning":
        return redirect(f"/jobs/{job.id}", 303)
    try:
        require_complete(db.library(), facts_of(job))
    except BadInput:
        return redirect(f"/jobs/{job.id}/intake", 303)
    return None


@pages.post("/jobs/<job_id>/plan")
def change_plan(job_id: str) -> Response:
    """Add, strike or restore a calibration; adding and striking need a reason, which is kept with the job."""
    try:
        with db.writing() as held:
            job = jobs.job_of(held, job_id)
            if away := _elsewhere(job):
                return away
            job.plan = changed(db.library().vehicles[job.vehicle or ""], job.plan, request.form.to_dict())
            held.add(job)
    except BaybookError as error:
        return _refused(job_id, error)
    return redirect(f"/jobs/{job_id}/plan", 303)


def _refused(job_id: str, error: BaybookError) -> Response:
    """The plan again, with what is wrong and what was typed."""
    with db.session() as held:
        job = jobs.job_of(held, job_id)
        return _elsewhere(job) or _page(held, job, error)


@pages.post("/jobs/<job_id>/start")
def start(job_id: str) -> Response:
    try:
        with db.writing() as held:
            job = jobs.job_of(held, job_id)
            if away := _elsewhere(job):
                return away
            start_job(held, job)
    except BaybookError as error:
        return _refused(job_id, error)
    return redirect(f"/jobs/{job_id}", 303)


def _page(held: Session, job: Job, error: BaybookError | None = None) -> Response:
    library, typed = worded.library(), request.form.to_dict() if error else {}
    expected = {name: own for name in library.procedures if (own := times.expected(held, name))}
    about = facts_of(job), expected, kit(held), moment.today(), say
    why, anew = error.message if error else None, _changed_since(held, job)
    view = plan_view(library, *about, why, typed, fit_of(held, facts_of(job)), anew)
    return page("plan-title", view, status_of(error) if error else 200)


def _changed_since(held: Session, job: Job) -> str | None:
    """When a release was taken up after this job was begun; None where none was."""
    turn = releases.last_turn(held)
    return f"{moment.local(turn.at):%Y-%m-%d %H:%M}" if turn and turn.at > job.created_at else None
