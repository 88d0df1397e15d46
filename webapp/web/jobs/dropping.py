"""A job that is not done after all: dropped before it was started, with the reason."""

from flask import redirect, render_template, request
from werkzeug.wrappers import Response

from webapp.core.errors import BaybookError
from webapp.core.kinds.common import words
from webapp.core.vin import groups
from webapp.storage import jobs
from webapp.web import db, moment
from webapp.web.jobs import pages
from webapp.web.refusals import status_of


@pages.get("/jobs/<job_id>/drop")
def show_drop(job_id: str) -> str | Response:
    """Ask why a planned job is dropped; of one that was, say why."""
    return _page(job_id)


@pages.post("/jobs/<job_id>/drop")
def drop(job_id: str) -> str | Response | tuple[str, int]:
    """Nothing has happened on such a job, so it has no journal: the reason stands with its plan."""
    try:
        with db.writing() as held:
            job = jobs.job_of(held, job_id)
            if job.phase == "planning":
                why = words(request.form.to_dict(), "reason", "why this job is dropped")
                job.phase, job.finished_at, job.plan = "abandoned", moment.now().at, {**job.plan, "dropped": why}
                held.add(job)
    except BaybookError as error:
        page = _page(job_id, error)
        return page if isinstance(page, Response) else (page, status_of(error))
    return redirect("/", 303)


def _page(job_id: str, error: BaybookError | None = None) -> str | Response:
    with db.session() as held:
        job = jobs.job_of(held, job_id)
    if job.sheet is not None:
        return redirect(f"/jobs/{job_id}", 303)
    why = job.plan.get("dropped", "")
    typed = request.form.get("reason", "") if error else ""
    return render_template("jobs/drop.html", job=job, groups=groups(job.vin), why=why, error=error, typed=typed)
