"""Jobs that a phone planned and started alone: the sheet is made again here, from the same facts, and compared.

Where both come to the same hash, nothing else need be sent. Where they do not (the procedures were changed since the
phone fetched its shelf), the phone's own sheet is what the work was done by: it must come along, it is kept as the
job's, and the difference stands beside the job's first event.
"""

import hashlib
import re
from dataclasses import dataclass
from typing import Any

from shapely.errors import ShapelyError
from sqlmodel import Session

from webapp.core.errors import BadInput, BaybookError, Conflict, shown
from webapp.core.events import INSTANT
from webapp.core.fields import Fields
from webapp.core.fold import fold
from webapp.core.freeze import make_sheet
from webapp.core.measure.area import bay_of, polygon
from webapp.core.measure.floor import BAY_MM
from webapp.core.plan import decided, propose
from webapp.core.procedure import Library
from webapp.core.sheet import FORMAT, canonical, content_hash, text_hash
from webapp.core.state import Clock
from webapp.core.view import job_page, steps_page
from webapp.messages import english
from webapp.storage.jobs import create_job
from webapp.storage.sheets import keep_text
from webapp.storage.tables import SORTS, Item, Job
from webapp.sync.batch import read_json

JOB_ID = re.compile(r"[0-9A-Za-z-]{1,64}")
LONGEST = 500
ABOUT = ("repair_order", "vin", "odometer_km", "reasons", "qualifiers", "lamps", "codes", "bay")


@dataclass(frozen=True)
class Plan:
    """A job's facts with its sheet's canonical text, or why they cannot be used. `made` is the hash come to here."""

    id: str
    facts: dict[str, Any]
    sheet: str | None = None
    made: str | None = None
    why: BaybookError | None = None


@dataclass(frozen=True)
class Adopted:
    """What became of a job that came along: made, known (it was here already) or refused."""

    id: str
    status: str
    why: BaybookError | None = None

    def as_dict(self) -> dict[str, Any]:
        return {"id": self.id, "status": self.status, **(self.why.as_dict() if self.why else {})}


def plan_of(library: Library, facts: dict[str, Any]) -> Plan:
    """Work a job's facts out. Takes some 0.1 s where drawings have to be made; nothing is looked up in the database."""
    named = facts.get("job")
    name = str(named.get("id", "")) if isinstance(named, dict) else ""
    try:
        _require(facts)
        made = _made_here(library, facts)
        found = text_hash(made) if made else None
        sheet = made if made and found == facts["sheet"] else _sent_along(facts)
    except BaybookError as why:
        return Plan(name, facts, why=why)
    return Plan(name, facts, sheet, found)


def _require(facts: dict[str, Any]) -> None:
    given = Fields(facts, "", ["job", "vehicle", "added", "struck", "sheet", "at"], ["person", "body"])
    job = Fields(facts["job"], "job", ["id", "sort", *ABOUT[:5], "bay"], ["lamps", "codes", "floor_plan", "salt"])
    texts = {name: job.text_or_none(name) for name in ("id", "sort", "repair_order", "vin", "lamps", "codes", "bay")}
    texts |= {name: given.text_or_none(name) for name in ("vehicle", "sheet", "at", "person")}
    long = next((name for name, text in texts.items() if len(text or "") > LONGEST), None)
    if long:
        raise BadInput(
            "text-too-long", long, f"{long} has {len(texts[long] or '')} characters; at most {LONGEST} are kept"
        )
    right = {
        "job.id": bool(JOB_ID.fullmatch(texts["id"] or "")),
        "job.salt": bool(re.fullmatch("[0-9a-f]{32}", facts["job"].get("salt", "0" * 32))),
        "job.sort": texts["sort"] in SORTS,
        "job.odometer_km": isinstance(job.get("odometer_km"), int | float | None),
        "job.reasons": job.texts_or_none("reasons") is not None,
        "job.qualifiers": _words(job.get("qualifiers")),
        "job.floor_plan": "floor_plan" not in facts["job"] or _is_plan(facts["job"]["floor_plan"]),
        "added": _words(given.get("added")),
        "struck": _words(given.get("struck")),
        "at": bool(INSTANT.fullmatch(texts["at"] or "")),
        "sheet": bool(re.fullmatch("[0-9a-f]{64}", texts["sheet"] or "")),
    }
    if wrong := next((name for name, fits in right.items() if not fits), None):
        raise BadInput("job-facts", wrong, f"{wrong} is not what a job has there; plan the job again on this phone")


def _words(value: Any) -> bool:
    return isinstance(value, dict) and all(isinstance(one, str) for pair in value.items() for one in pair)


def _is_plan(value: Any) -> bool:
    """Whether it is a bay's plan as the kit has it, with the bay's name: what drawings are laid on."""
    try:
        bay = bay_of(value)
        shapes = [bay.corners, *(one.corners for one in bay.obstacles)]
        names = [value["name"], *(one.name for one in bay.obstacles)]
        near = all(BAY_MM.low <= length <= BAY_MM.high for corners in shapes for corner in corners for length in corner)
        return near and all(map(polygon, shapes, names)) and all(isinstance(one, str) for one in names)
    except (BadInput, KeyError, TypeError, ValueError, ShapelyError):
        return False


def _made_here(library: Library, facts: dict[str, Any]) -> str | None:
    """The text of the sheet as it would be frozen here, or None where that cannot be done here any more."""
    job, vehicle = facts["job"], library.vehicles.get(facts["vehicle"] or "")
    try:
        if job["sort"] == "day":
            return canonical(make_sheet(library, job, None, [], {}, english))
        if vehicle is None:
            return None
        plan = decided(propose(library, vehicle, job["reasons"]), facts["added"], facts["struck"])
        return canonical(make_sheet(library, job, vehicle, plan, facts["struck"], english))
    except (BaybookError, KeyError):
        return None  # a calibration or an answer that the procedures here do not know any more


def _sent_along(facts: dict[str, Any]) -> str:
    """The phone's own sheet's text.

    Raises Conflict (`sheet-differs`) where it did not come along, BadInput (`sheet-damaged`) where it is none.
    """
    body, name = facts.get("body"), facts["sheet"]
    if not isinstance(body, str):
        what = f"sheet='{name}' is not the one that is made here from these facts; send its text as body"
        raise Conflict("sheet-differs", "sheet", what)
    if hashlib.sha256(body.encode("utf-8", "replace")).hexdigest() != name:
        raise BadInput("sheet-damaged", "body", f"body is not the sheet of the hash '{name}'; send it again")
    sheet = read_json(body, "body")
    try:
        whole = content_hash(sheet) == name and sheet["format"] == FORMAT and sheet["job"] == facts["job"]
        state = fold(sheet, ())
        job_page(sheet, state, Clock(facts["at"], 0.0, ""), english)
        steps_page(sheet, state, Clock(facts["at"], 0.0, ""), english)
    except (KeyError, TypeError, ValueError, AttributeError, IndexError) as error:
        raise BadInput(
            "sheet-damaged", "body", f"body is no sheet: {type(error).__name__} {shown(str(error))}"
        ) from error
    if not whole:
        raise BadInput("sheet-damaged", "body", "body is no sheet of this job in its canonical spelling; send it again")
    return body


def adopt(db: Session, plan: Plan) -> Adopted:
    """Make the job here, started, unless it is here already."""
    if plan.why or plan.sheet is None:
        return Adopted(plan.id, "refused", plan.why)
    job = db.get(Job, plan.id, with_for_update=True)
    if job and job.sheet == plan.facts["sheet"]:
        return Adopted(plan.id, "known")
    if job and job.sheet:
        what = f"job='{plan.id}' has another sheet here: '{job.sheet}'; a manager must look at it"
        return Adopted(plan.id, "refused", Conflict("job-other-sheet", "sheet", what))
    facts = plan.facts
    about = {name: facts["job"][name] for name in ABOUT if name in facts["job"]}
    about["bay"] = about["bay"] if about["bay"] and db.get(Item, about["bay"]) else None
    if job is None:
        job = create_job(db, plan.id, facts["job"]["sort"], facts["at"], made_by=facts.get("person"))
    for name, value in about.items():
        setattr(job, name, value)
    job.vehicle, job.phase, job.started_at = facts["vehicle"], "open", facts["at"]
    job.sheet = keep_text(db, plan.sheet)
    other = {} if plan.made == job.sheet else {"made_here": plan.made}
    job.plan = {"added": facts["added"], "struck": facts["struck"], **other}
    db.add(job)
    db.flush()
    return Adopted(plan.id, "made")
