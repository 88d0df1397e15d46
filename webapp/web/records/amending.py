"""A correction after the end of a job: added, with a reason and a name. What was recorded stays as it was."""

from flask import redirect, render_template, request
from sqlmodel import Session
from werkzeug.wrappers import Response

from webapp.core.errors import BadInput, Conflict, shown
from webapp.storage import jobs, log
from webapp.storage.log_tables import Amendment
from webapp.storage.record_files import amendments
from webapp.storage.tables import Job
from webapp.web import db, moment
from webapp.web.records import pages
from webapp.web.records.page import told_of
from webapp.web.refusals import status_of
from webapp.web.rights import need_supervisor
from webapp.web.who import badge

LONGEST = {"text": 2000, "reason": 200}


@pages.post("/jobs/<job_id>/amendments")
def amend(job_id: str) -> Response | tuple[str, int]:
    given = {name: " ".join(request.form.get(name, "").split()) for name in LONGEST}
    try:
        need_supervisor()
        with db.writing() as held:
            _amend(held, jobs.job_of(held, job_id), given)
    except BadInput as error:
        return _again(job_id, given, error)
    return redirect(f"/jobs/{job_id}/record#amendments", 303)


def _amend(held: Session, job: Job, given: dict[str, str]) -> None:
    """Raises BadInput (`amendment`) for a text or a reason that is missing or too long, Conflict (`job-not-ended`)."""
    for name, longest in LONGEST.items():
        if not 0 < len(given[name]) <= longest:
            what = f"{name} has {len(given[name])} characters; write 1 to {longest}"
            raise BadInput("amendment", name, what)
    if job.phase not in ("finished", "abandoned"):
        raise Conflict(
            "job-not-ended", "job", f"job={shown(job.id)} has not ended; undo the step instead, or leave a note"
        )
    number, text, reason = len(amendments(held, job.id)) + 1, given["text"], given["reason"]
    made = Amendment(job=job.id, number=number, at=moment.now().at, by=badge() or "", text=text, reason=reason)
    held.add(made)
    held.flush()
    log.enter(held, job, made)


def _again(job_id: str, given: dict[str, str], error: BadInput) -> tuple[str, int]:
    """The record, with what is wrong and what was typed."""
    with db.session() as held:
        told = told_of(held, jobs.job_of(held, job_id))
    return render_template("records/record.html", may_amend=True, given=given, error=error, **told), status_of(error)
