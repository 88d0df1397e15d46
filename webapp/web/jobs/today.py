"""Today: the equipment check, the open jobs, and the way to a new one."""

from dataclasses import asdict, dataclass
from typing import Any

from flask import redirect
from sqlmodel import Session
from werkzeug.wrappers import Response

from webapp.core.kinds import Moment
from webapp.core.kinds.common import Person
from webapp.core.kinds.countersign import may_countersign
from webapp.core.view.today import ended_row, open_row, planned_row, to_look_at, today_view
from webapp.core.view.waiting import waiting_row, waiting_view
from webapp.core.view.witness import may_vouch
from webapp.messages import say
from webapp.storage import jobs, people, releases
from webapp.storage.differences import jobs_with_differences
from webapp.storage.progress import progress_of
from webapp.storage.tables import Job
from webapp.web import db, moment, worded
from webapp.web.jobs import pages
from webapp.web.jobs.page import facts_of, page
from webapp.web.jobs.starting import start_day_check
from webapp.web.jobs.taps import tap
from webapp.web.who import current_person

FINISHED_SHOWN = 8


@pages.get("/")
def show_today() -> Response:
    library = worded.library()
    with db.session() as held:
        apart = jobs_with_differences(held)
        opened = [_looked_at(job, _open_row(held, job), apart) for job in jobs.jobs_in(held, "open")]
        waiting = len(_waiting(held, current_person()))
        release = releases.waiting(held) if may_countersign(current_person()) else None
        planned = [planned_row(library, facts_of(job), say) for job in jobs.jobs_in(held, "planning")]
        ended = [
            _looked_at(job, _ended_row(job), apart)
            for job in jobs.jobs_in(held, "finished", "abandoned", limit=FINISHED_SHOWN)
        ]
        check = jobs.last_day_check(held)
    number = release.number if release else None
    return page("nav-today", today_view(asdict(_check(check)), opened, planned, ended, say, waiting, number))


@pages.get("/waiting")
def show_waiting() -> Response:
    """What waits for a supervisor: for one, what they may vouch for; for anybody else, all of it."""
    with db.session() as held:
        rows = _waiting(held, current_person(), everything=True)
    return page("waiting-title", waiting_view(rows))


def _waiting(held: Session, reader: Person | None, everything: bool = False) -> list[dict[str, Any]]:
    if not may_countersign(reader) and not everything:
        return []
    names = {one.code: one.name for one in people.everyone(held)}
    found = [
        waiting_row(worded.in_words(at.sheet), at.state, names, say)
        for at in (progress_of(held, job.id) for job in jobs.jobs_in(held, "open"))
    ]
    return [one for one in found if one and (not may_countersign(reader) or may_vouch(reader, one["doer"]))]


def _looked_at(job: Job, row: dict[str, Any], apart: set[str]) -> dict[str, Any]:
    """The row; with a word where the server decided something otherwise than a phone."""
    return to_look_at(row, say) if job.id in apart else row


def _open_row(held: Session, job: Job) -> dict[str, Any]:
    progress = progress_of(held, job.id)
    return open_row(worded.in_words(progress.sheet), progress.state, moment.now(), say)


def _ended_row(job: Job) -> dict[str, Any]:
    day = moment.day_of(job.finished_at or job.created_at)
    return ended_row(db.library(), facts_of(job), day, f"/jobs/{job.id}/record", say)


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
        tap(last.id, overtaken, Moment(moment.now(), moment.today()), None, lambda _at, _who, _stale: redirect("/"))
    with db.writing() as held:
        last = jobs.last_day_check(held)
        job_id = last.id if last and _check(last).status == "running" else start_day_check(held)
    return redirect(f"/jobs/{job_id}", 303)
