"""Intake: the VIN first, then what the vehicle is and why it is here."""

from typing import Any

from flask import redirect, request
from sqlmodel import Session
from werkzeug.wrappers import Response

from webapp.core.errors import BadInput, BaybookError, Unavailable
from webapp.core.events import new_id
from webapp.core.intake import known, new_facts, take, typed
from webapp.core.view.intake import intake_view, new_view
from webapp.core.vin import Vin, read_vin
from webapp.messages import say
from webapp.storage import jobs
from webapp.storage.kit import kit
from webapp.storage.tables import Job
from webapp.web import db, moment, worded
from webapp.web.jobs import pages
from webapp.web.jobs.given import vin_in_photo
from webapp.web.jobs.page import facts_of, page
from webapp.web.refusals import status_of
from webapp.web.who import current_person

LONGEST_SHOWN = 200
TAKEN = ("vehicle", "repair_order", "odometer_km", "reasons", "qualifiers", "lamps", "codes", "bay")


@pages.get("/jobs/new")
def show_new() -> Response:
    return page("new-title", new_view(say))


@pages.post("/jobs/new")
def take_vin() -> Response:
    """A VIN by wedge, photo or keys makes a job; what cannot be read is shown again with the reason."""
    text = request.form.get("vin", "")
    try:
        found, unsure = _vin(text)
    except BaybookError as error:
        return page("new-title", new_view(say, error.message, text[:LONGEST_SHOWN]), status_of(error))
    if (unsure or not found.valid) and request.form.get("confirmed") != found.text:
        return page("new-title", new_view(say, confirm=found))
    try:
        job_id = _new_job(found.text)
    except Unavailable as error:
        return page("new-title", new_view(say, error.message, found.text), status_of(error))
    cleaned = "&".join(f"cleaned={one}" for one in found.cleaned)
    return redirect(f"/jobs/{job_id}/intake" + (f"?{cleaned}" if cleaned else ""), 303)


def _new_job(vin: str) -> str:
    person, facts = current_person(), new_facts(db.library(), new_id(moment.unix_ms()), vin)
    about = {"vin": vin, "vehicle": facts["vehicle"], "made_by": person.code if person else None}
    with db.writing() as held:
        jobs.create_job(held, facts["id"], facts["sort"], moment.now().at, **about)
    return str(facts["id"])


def _vin(text: str) -> tuple[Vin, bool]:
    upload = request.files.get("photo")
    if upload and upload.filename:
        read_off, sure = vin_in_photo(upload.read())
        return read_vin(read_off, "vin"), not sure
    return read_vin(text, "vin"), False


@pages.get("/jobs/<job_id>/intake")
def show_intake(job_id: str) -> Response:
    with db.session() as held:
        job = jobs.job_of(held, job_id)
        if job.phase != "planning":
            return redirect(f"/jobs/{job_id}")
        return _page(held, job, known(facts_of(job)))


@pages.post("/jobs/<job_id>/intake")
def take_intake(job_id: str) -> Response:
    form = request.form.to_dict() | {"reasons": request.form.getlist("reasons")}
    try:
        with db.writing() as held:
            job = jobs.job_of(held, job_id)
            if job.phase != "planning":
                return redirect(f"/jobs/{job_id}", 303)
            after = take(db.library(), facts_of(job), form, kit(held))
            for name in TAKEN:
                setattr(job, name, after[name])
            held.add(job)
    except (BadInput, Unavailable) as error:
        with db.session() as held:
            return _page(held, jobs.job_of(held, job_id), typed(form), error)
    return redirect(f"/jobs/{job_id}/{'plan' if form.get('go') == 'plan' else 'intake'}", 303)


def _page(held: Session, job: Job, values: dict[str, Any], error: BaybookError | None = None) -> Response:
    others = [facts_of(one) for one in jobs.others_on(held, job.vin, job.id)]
    refused, cleaned = error.as_dict()["error"] if error else None, request.args.getlist("cleaned")
    view = intake_view(worded.library(), facts_of(job), values, kit(held), say, others, cleaned, refused)
    return page("intake-title", view, status_of(error) if error else 200)
