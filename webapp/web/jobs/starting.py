"""Starting a job: the sheet is made, frozen and named, and the first event says so."""

from secrets import token_hex
from typing import Any

from sqlmodel import Session

from webapp.core.act import Draft
from webapp.core.errors import Conflict
from webapp.core.events import new_id
from webapp.core.freeze import make_sheet
from webapp.core.intake import day_facts, sheet_job
from webapp.core.kinds import Moment
from webapp.core.plan import planned
from webapp.messages import english
from webapp.storage import jobs
from webapp.storage.journal import append_next
from webapp.storage.kit import kit
from webapp.storage.sheets import keep_sheet
from webapp.storage.tables import Job
from webapp.web import db, moment
from webapp.web.jobs.fitting import fit_of
from webapp.web.jobs.page import facts_of
from webapp.web.jobs.taps import make_event
from webapp.web.who import current_person

SALT_BYTES = 16
"""So that a sheet's hash, which outlives what is erased of it, tells nothing to who tries VINs (storage/privacy.py)."""


def start_job(held: Session, job: Job) -> None:
    """Freeze the sheet of a planned job.

    Raises Conflict (`nothing-planned`) where no calibration is left in the plan.
    """
    library, facts = db.library(), facts_of(job)
    plan = planned(library, facts)
    if not plan:
        raise Conflict("nothing-planned", "plan", "plan is empty; add a calibration, or drop the job")
    vehicle = library.vehicles[facts["vehicle"]]
    # Worked out here and now, and kept with the job: a phone that works it alone shows it as well.
    about = sheet_job(facts, kit(held)) | {"fit": fit_of(held, facts), "salt": token_hex(SALT_BYTES)}
    _freeze(held, job, make_sheet(library, about, vehicle, plan, facts["plan"]["struck"], english))


def start_day_check(held: Session) -> str:
    """Make and start today's equipment check; return its job's id."""
    clock, person = moment.now(), current_person()
    facts = day_facts(new_id(moment.unix_ms()))
    made_by = person.code if person else None
    job = jobs.create_job(held, facts["id"], facts["sort"], clock.at, made_by=made_by)
    _freeze(held, job, make_sheet(db.library(), sheet_job(facts), None, [], {}, english))
    return job.id


def _freeze(held: Session, job: Job, sheet: dict[str, Any]) -> None:
    when = Moment(moment.now(), moment.today(), person=current_person())
    job.sheet, job.phase, job.started_at = keep_sheet(held, sheet), "open", when.clock.at
    held.add(job)
    held.flush()
    began = make_event(job.id, Draft("started", None, 1, 0, {"sheet": job.sheet}), when)
    append_next(held.connection(), began, newest=0, by=when.person)
