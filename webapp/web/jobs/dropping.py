"""A job that is not done after all: dropped before it was started, with the reason."""

from flask import redirect, request
from werkzeug.wrappers import Response

from webapp.core.errors import BaybookError
from webapp.core.kinds.common import words
from webapp.core.view.shop import drop_view
from webapp.messages import say
from webapp.storage import jobs
from webapp.web import db, moment
from webapp.web.jobs import pages
from webapp.web.jobs.page import facts_of, page
from webapp.web.refusals import status_of


@pages.get("/jobs/<job_id>/drop")
def show_drop(job_id: str) -> Response:
    """Ask why a planned job is dropped; of one that was, say why."""
    return _page(job_id)


@pages.post("/jobs/<job_id>/drop")
def drop(job_id: str) -> Response:
    """Nothing has happened on such a job, so it has no journal: the reason stands with its plan."""
    try:
        with db.writing() as held:
            job = jobs.job_of(held, job_id)
            if job.phase == "planning":
                why = words(request.form.to_dict(), "reason", "why this job is dropped")
                job.phase, job.finished_at, job.plan = "abandoned", moment.now().at, {**job.plan, "dropped": why}
                held.add(job)
    except BaybookError as error:
        return _page(job_id, error)
    return redirect("/", 303)


def _page(job_id: str, error: BaybookError | None = None) -> Response:
    with db.session() as held:
        job = jobs.job_of(held, job_id)
    if job.sheet is not None:
        return redirect(f"/jobs/{job_id}", 303)
    refused = error.as_dict()["error"] if error else None
    view = drop_view(facts_of(job), say, refused, request.form.get("reason", "") if error else "")
    return page("drop-title", view, status_of(error) if error else 200)
