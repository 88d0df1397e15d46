"""Starting a job: the sheet is made, frozen and named, and the first event says so."""

from typing import Any

from sqlmodel import Session

from webapp.core.act import Draft
from webapp.core.errors import Conflict
from webapp.core.events import new_id
from webapp.core.freeze import make_sheet
from webapp.core.kinds import Moment
from webapp.core.plan import Proposal
from webapp.messages import say
from webapp.storage import jobs
from webapp.storage.journal import append
from webapp.storage.sheets import keep_sheet
from webapp.storage.tables import Job
from webapp.web import db, moment
from webapp.web.jobs.taps import make_event
from webapp.web.who import current_person


def start_job(held: Session, job: Job, plan: list[Proposal]) -> None:
    """Freeze the sheet of a planned job. A second tap finds it started and changes nothing.

    Raises Conflict (`nothing-planned`) where no calibration is left in the plan.
    """
    if job.phase != "planning":
        return
    if not plan:
        raise Conflict("nothing-planned", "plan", "plan is empty; add a calibration, or drop the job")
    library = db.library()
    vehicle = library.vehicles[job.vehicle or ""]
    facts = {
        "repair_order": job.repair_order,
        "vin": job.vin,
        "odometer_km": job.odometer_km,
        "reasons": job.reasons,
        "qualifiers": job.qualifiers,
        "lamps": job.lamps,
        "codes": job.codes,
        "bay": job.bay,
    }
    sheet = make_sheet(library, {"id": job.id, "sort": job.sort, **facts}, vehicle, plan, job.plan["struck"], say)
    _freeze(held, job, sheet)


def start_day_check(held: Session) -> str:
    """Make and start today's equipment check; return its job's id."""
    clock, person = moment.now(), current_person()
    made_by = person.code if person else None
    job = jobs.create_job(held, new_id(moment.unix_ms()), "day", clock.at, made_by=made_by)
    facts: dict[str, Any] = {
        "repair_order": "",
        "vin": "",
        "odometer_km": None,
        "reasons": [],
        "qualifiers": {},
        "bay": None,
    }
    sheet = make_sheet(db.library(), {"id": job.id, "sort": "day", **facts}, None, [], {}, say)
    _freeze(held, job, sheet)
    return job.id


def _freeze(held: Session, job: Job, sheet: dict[str, Any]) -> None:
    when = Moment(moment.now(), moment.today(), person=current_person())
    job.sheet, job.phase, job.started_at = keep_sheet(held, sheet), "open", when.clock.at
    held.add(job)
    held.flush()
    append(held, [make_event(held, job.id, Draft("started", None, 1, 0, {"sheet": job.sheet}), when)])
