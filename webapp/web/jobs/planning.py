"""The plan: which calibrations are due and why, in which order, with which kit, on how much floor, and how long it
takes.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from flask import redirect, render_template, request
from sqlmodel import Session
from werkzeug.wrappers import Response

from webapp.core.errors import BadInput, BaybookError
from webapp.core.kinds.common import words
from webapp.core.kit import codes_for, trouble
from webapp.core.plan import Need, Proposal, area_needed, decided, expected_s, kit_needed, propose, working_order
from webapp.core.procedure import Procedure, Vehicle
from webapp.core.vin import groups
from webapp.storage import jobs, kit, times
from webapp.storage.tables import Item, Job
from webapp.web import db, moment
from webapp.web.jobs import pages
from webapp.web.jobs.intake import require_complete
from webapp.web.jobs.starting import start_job
from webapp.web.refusals import status_of


@dataclass(frozen=True)
class Expected:
    """How long a part of the job takes: from the shop's own finished jobs where there are enough, else from the
    procedure.
    """

    procedure: Procedure
    median_s: float
    p80_s: float | None
    jobs: int


@dataclass(frozen=True)
class KitLine:
    """A kind of target the job needs, and the pieces of it in the shop, each with what is wrong with it, if
    anything.
    """

    need: Need
    target_name: str
    spot_name: str
    pieces: Sequence[tuple[Item, str | None]]

    @property
    def ready(self) -> bool:
        return any(wrong is None for _item, wrong in self.pieces)


@pages.get("/jobs/<job_id>/plan")
def show_plan(job_id: str) -> str | Response:
    with db.session() as held:
        job = jobs.job_of(held, job_id)
        return _elsewhere(job) or _page(held, job)


def _elsewhere(job: Job) -> Response | None:
    """Where to go with a job that is not, or not yet, to be planned."""
    if job.phase != "planning":
        return redirect(f"/jobs/{job.id}", 303)
    try:
        require_complete(job)
    except BadInput:
        return redirect(f"/jobs/{job.id}/intake", 303)
    return None


@pages.post("/jobs/<job_id>/plan")
def change_plan(job_id: str) -> str | Response | tuple[str, int]:
    """Add, strike or restore a calibration; adding and striking need a reason, which is kept with the job."""
    try:
        with db.writing() as held:
            job = jobs.job_of(held, job_id)
            if away := _elsewhere(job):
                return away
            job.plan = _changed(job, request.form)
            held.add(job)
    except BaybookError as error:
        return _refused(job_id, error)
    return redirect(f"/jobs/{job_id}/plan", 303)


def _refused(job_id: str, error: BaybookError) -> Response | tuple[str, int]:
    """The plan again, with what is wrong and what was typed."""
    with db.session() as held:
        job = jobs.job_of(held, job_id)
        return _elsewhere(job) or (_page(held, job, error), status_of(error))


@pages.post("/jobs/<job_id>/start")
def start(job_id: str) -> str | Response | tuple[str, int]:
    try:
        with db.writing() as held:
            job = jobs.job_of(held, job_id)
            if away := _elsewhere(job):
                return away
            start_job(held, job, planned(job))
    except BaybookError as error:
        return _refused(job_id, error)
    return redirect(f"/jobs/{job_id}", 303)


def planned(job: Job) -> list[Proposal]:
    """The plan as it stands: proposed, less what was struck, plus what was added."""
    library = db.library()
    vehicle = library.vehicles[job.vehicle or ""]
    return decided(propose(library, vehicle, job.reasons), job.plan["added"], job.plan["struck"])


def _changed(job: Job, form: dict[str, str]) -> dict[str, dict[str, str]]:
    library, name, do = db.library(), form.get("calibration", ""), form.get("do", "")
    vehicle = library.vehicles[job.vehicle or ""]
    added, struck = dict(job.plan["added"]), dict(job.plan["struck"])
    if name not in vehicle.specs:
        raise BadInput("calibration-unknown", "calibration", f"calibration={name[:60]!r} has no spec for this vehicle")
    if do == "strike":
        why = words(form, "reason", "why this calibration is not done")
        if name in added:
            del added[name]
        else:
            struck[name] = why
    elif do == "add":
        added[name] = words(form, "reason", "why this calibration is done as well")
        struck.pop(name, None)
    elif do == "restore":
        struck.pop(name, None)
    else:
        raise BadInput("do-unknown", "do", f"do={do[:60]!r} is not an action here; expected strike, add or restore")
    return {"added": added, "struck": struck}


def _page(held: Session, job: Job, error: BaybookError | None = None) -> str:
    library = db.library()
    vehicle = library.vehicles[job.vehicle or ""]
    plan = planned(job)
    names = [one.procedure for one in plan]
    order = working_order(library, names) if names else []
    expectations = [_expected(held, one, job) for one in order]
    due = propose(library, vehicle, job.reasons)
    return render_template(
        "jobs/plan.html",
        job=job,
        vehicle=vehicle,
        groups=groups(job.vin),
        plan=plan,
        struck=[(one, job.plan["struck"][one.procedure]) for one in due if one.procedure in job.plan["struck"]],
        others=[name for name in vehicle.specs if name not in names and name not in job.plan["struck"]],
        procedures=library.procedures,
        expectations=expectations,
        total_s=sum(one.median_s for one in expectations),
        total_p80_s=sum(one.p80_s or one.median_s for one in expectations),
        kit_lines=_kit_lines(held, vehicle, names),
        area=area_needed(library, names),
        outline=vehicle.outline,
        error=error,
        typed=request.form if error else {},
    )


def _expected(held: Session, procedure: Procedure, job: Job) -> Expected:
    own = times.expected(held, procedure.procedure)
    if own:
        return Expected(procedure, own[0], own[1], own[2])
    return Expected(procedure, expected_s(procedure, job.qualifiers), None, 0)


def _kit_lines(held: Session, vehicle: Vehicle, names: list[str]) -> list[KitLine]:
    known, catalogue = kit.kit(held), db.library().catalogue
    lines = []
    for need in kit_needed(vehicle, names):
        pieces = [
            (kit.item_of(held, code), trouble(code, known, moment.today())) for code in codes_for(need.target, known)
        ]
        lines.append(KitLine(need, catalogue.targets[need.target].name, catalogue.spots[need.spot].name, pieces))
    return lines
