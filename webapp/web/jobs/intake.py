"""Intake: the VIN first, then what the vehicle is and why it is here."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from flask import redirect, render_template, request
from sqlmodel import Session
from werkzeug.wrappers import Response

from webapp.core.errors import BadInput, BaybookError, Unavailable, shown
from webapp.core.events import new_id
from webapp.core.measure.reading import Range, read
from webapp.core.plan import vehicles_for
from webapp.core.procedure import REASONS, Vehicle
from webapp.core.vin import Vin, groups, read_vin
from webapp.storage import jobs, kit
from webapp.storage.tables import Job
from webapp.web import db, moment
from webapp.web.jobs import pages
from webapp.web.jobs.given import vin_in_photo
from webapp.web.refusals import status_of
from webapp.web.who import current_person

ODOMETER_KM = Range("km", 0, 5_000_000)
LONGEST_SHOWN = 200
LONGEST = {"repair_order": 40, "lamps": 500, "codes": 500}


@pages.get("/jobs/new")
def show_new() -> str:
    return render_template("jobs/new.html", error=None, text="")


@pages.post("/jobs/new")
def take_vin() -> Response | tuple[str, int]:
    """A VIN by wedge, photo or keys makes a job; what cannot be read is shown again with the reason."""
    text = request.form.get("vin", "")
    try:
        found, unsure = _vin(text)
    except BaybookError as error:
        return render_template("jobs/new.html", error=error.message, text=text[:LONGEST_SHOWN]), status_of(error)
    if (unsure or not found.valid) and request.form.get("confirmed") != found.text:
        return render_template("jobs/new.html", error=None, text="", confirm=found, groups=groups(found.text)), 200
    try:
        job_id = _new_job(found.text)
    except Unavailable as error:
        return render_template("jobs/new.html", error=error.message, text=found.text), status_of(error)
    cleaned = "&".join(f"cleaned={one}" for one in found.cleaned)
    return redirect(f"/jobs/{job_id}/intake" + (f"?{cleaned}" if cleaned else ""), 303)


def _new_job(vin: str) -> str:
    person, matching = current_person(), vehicles_for(db.library(), vin)
    with db.writing() as held:
        job = jobs.create_job(
            held,
            new_id(moment.unix_ms()),
            "calibration",
            moment.now().at,
            vin=vin,
            vehicle=matching[0].vehicle if len(matching) == 1 else None,
            made_by=person.code if person else None,
        )
    return job.id


def _vin(text: str) -> tuple[Vin, bool]:
    upload = request.files.get("photo")
    if upload and upload.filename:
        read_off, sure = vin_in_photo(upload.read())
        return read_vin(read_off, "vin"), not sure
    return read_vin(text, "vin"), False


@dataclass(frozen=True)
class Intake:
    """The intake page's data: what is known, what was typed, and what is wrong with it."""

    job: Job
    vehicle: Vehicle | None
    values: Mapping[str, Any]
    others: list[Job]
    bays: list[Any]


@pages.get("/jobs/<job_id>/intake")
def show_intake(job_id: str) -> str | Response:
    with db.session() as held:
        job = jobs.job_of(held, job_id)
        if job.phase != "planning":
            return redirect(f"/jobs/{job_id}")
        return _page(held, job, _values(job))


@pages.post("/jobs/<job_id>/intake")
def take_intake(job_id: str) -> str | Response | tuple[str, int]:
    form = request.form
    try:
        with db.writing() as held:
            job = jobs.job_of(held, job_id)
            if job.phase != "planning":
                return redirect(f"/jobs/{job_id}", 303)
            _take(held, job, form)
            held.add(job)
    except (BadInput, Unavailable) as error:
        typed = form.to_dict() | {"reasons": form.getlist("reasons"), "qualifiers": _qualifiers_typed(form)}
        with db.session() as held:
            return _page(held, jobs.job_of(held, job_id), typed, error), status_of(error)
    return redirect(f"/jobs/{job_id}/{'plan' if form.get('go') == 'plan' else 'intake'}", 303)


def _values(job: Job) -> dict[str, Any]:
    odometer = "" if job.odometer_km is None else f"{job.odometer_km:g}"
    known = {name: getattr(job, name) for name in ("repair_order", "lamps", "codes", "reasons", "qualifiers", "bay")}
    return known | {"odometer_km": odometer, "vehicle": job.vehicle}


def _qualifiers_typed(form: Mapping[str, str]) -> dict[str, str]:
    return {name.removeprefix("q-"): value for name, value in form.items() if name.startswith("q-")}


def _page(held: Session, job: Job, values: Mapping[str, Any], error: BaybookError | None = None) -> str:
    library = db.library()
    matching = vehicles_for(library, job.vin)
    # Where the model was unchosen, what was typed below it still stands on the page, under the questions it answers.
    vehicle = library.vehicles.get(values.get("vehicle") or values.get("asked") or "")
    bays = [item for item in kit.items(held) if item.kind == "bay"]
    return render_template(
        "jobs/intake.html",
        intake=Intake(job, vehicle, values, jobs.others_on(held, job.vin, job.id), bays),
        matching=[one.vehicle for one in matching],
        vehicles=[*matching, *[one for one in library.vehicles.values() if one not in matching]],
        groups=groups(job.vin),
        reasons=REASONS,
        cleaned=request.args.getlist("cleaned"),
        error=error,
    )


def _take(held: Session, job: Job, form: Mapping[str, str]) -> None:
    """Take over what was typed, or raise BadInput and leave the job as it was."""
    vehicle = _vehicle(form)
    given = {name: _text(form, name, longest) for name, longest in LONGEST.items()}
    reasons = [one for one in REASONS if one in request.form.getlist("reasons")]
    odometer = read(form["odometer_km"], "odometer_km", ODOMETER_KM) if form.get("odometer_km", "").strip() else None
    qualifiers = _qualifiers(vehicle, form) if vehicle.vehicle == form.get("asked") else {}
    job.vehicle, job.reasons, job.odometer_km, job.qualifiers = vehicle.vehicle, reasons, odometer, qualifiers
    job.repair_order, job.lamps, job.codes = given["repair_order"], given["lamps"], given["codes"]
    job.bay = _bay(held, form)
    if form.get("go") == "plan":
        require_complete(job)


def _bay(held: Session, form: Mapping[str, str]) -> str | None:
    code = form.get("bay", "")
    if code and code not in [item.code for item in kit.items(held) if item.kind == "bay"]:
        raise BadInput("bay-unknown", "bay", f"bay={shown(code)} is none of the shop's bays; choose one of the list")
    return code or None


def _vehicle(form: Mapping[str, str]) -> Vehicle:
    vehicle = db.library().vehicles.get(form.get("vehicle", ""))
    if vehicle is None:
        raise _no_vehicle()
    return vehicle


def _no_vehicle() -> BadInput:
    return BadInput("vehicle-missing", "vehicle", "vehicle is not chosen; choose the model from the list")


def _text(form: Mapping[str, str], name: str, longest: int) -> str:
    text = form.get(name, "").strip()
    if len(text) > longest:
        raise BadInput("text-too-long", name, f"{name} has {len(text)} characters; at most {longest} are kept")
    return text


def _qualifiers(vehicle: Vehicle, form: Mapping[str, str]) -> dict[str, str]:
    given = {}
    for one in vehicle.qualifiers:
        value = form.get(f"q-{one.name}", "")
        known = [option.value for option in one.options]
        if value and value not in known:
            raise BadInput(
                "qualifier-unknown", f"q-{one.name}", f"{one.name}={value[:40]!r} is none of {', '.join(known)}"
            )
        if value:
            given[one.name] = value
    return given


def require_complete(job: Job) -> None:
    """Raise BadInput naming the first thing that has to be known before the job can be planned."""
    vehicle = db.library().vehicles.get(job.vehicle or "")
    if vehicle is None:
        raise _no_vehicle()
    if not job.repair_order:
        raise BadInput("order-missing", "repair_order", "repair_order is empty; type the number of the repair order")
    if job.odometer_km is None:
        raise BadInput("missing", "odometer_km", "odometer_km is missing: give a number in km")
    if not job.reasons:
        raise BadInput("reasons-missing", "reasons", "reasons: none is ticked; tick why the vehicle is here")
    for one in vehicle.qualifiers:
        if one.name not in job.qualifiers:
            raise BadInput("qualifier-missing", f"q-{one.name}", f"{one.name} is not answered; {one.ask}")
