"""The record of a job: its page, and what paper and page have in common."""

from typing import Any

from flask import redirect, render_template
from sqlmodel import Session
from werkzeug.wrappers import Response as AnyResponse

from webapp.address import address_of
from webapp.core.lengths import MM, Unit
from webapp.core.record import record
from webapp.core.view.figures import clock, measured
from webapp.core.view.measures import VERDICTS, how_read, left_out_text, limits_text
from webapp.core.vin import groups
from webapp.messages import say
from webapp.storage import jobs, log, privacy
from webapp.storage.journal import events_of
from webapp.storage.kit import kit
from webapp.storage.people import everyone
from webapp.storage.progress import progress_of
from webapp.storage.record_files import amendments
from webapp.storage.tables import Job
from webapp.web import db, moment
from webapp.web.jobs.apart import apart_on_record
from webapp.web.records import pages
from webapp.web.rights import may_change
from webapp.web.worded import in_words


@pages.get("/jobs/<job_id>/record")
def show_record(job_id: str) -> str | AnyResponse:
    with db.session() as held:
        job = jobs.job_of(held, job_id)
        if job.sheet is None:
            return redirect(f"/jobs/{job_id}/{'plan' if job.phase == 'planning' else 'drop'}")
        told = told_of(held, job)
    return render_template("records/record.html", may_amend=may_change(), **told)


@pages.get("/jobs/<job_id>/owner")
def show_owner(job_id: str) -> str | AnyResponse:
    """What the vehicle's owner is told: one page, in plain words."""
    with db.session() as held:
        job = jobs.job_of(held, job_id)
        if job.phase not in ("finished", "abandoned") or job.sheet is None:
            return redirect(f"/jobs/{job_id}/record")
        told = told_of(held, job)
    return render_template("records/owner.html", **told)


def told_of(held: Session, job: Job) -> dict[str, Any]:
    """All that the record's body shows of a job that was begun."""
    progress = progress_of(held, job.id)
    events = [event for _seq, event in events_of(held, job.id)]
    begun = job.started_at or job.created_at
    sheet = in_words(progress.sheet)
    made = record(sheet, progress.state, events)
    unit = sheet.get("unit", MM)
    made["readings"] = [_reading(row, unit) for row in made["readings"]]
    return {
        "job": job,
        "sheet": sheet,
        "state": progress.state,
        "record": made,
        "groups": groups(job.vin) if job.vin else (),
        "names": {person.code: person.name for person in everyone(held)},
        "things": {code: item["name"] for code, item in kit(held).items()},
        "check": jobs.day_check_before(held, begun, since=moment.day_began(begun)),
        "apart": apart_on_record(held, job.id, progress),
        "entry": log.newest_of(held, job.id),
        "amendments": amendments(held, job.id),
        "erasures": privacy.erasures_of(held, job.id),
        "check_address": lambda entry: f"{_origin()}/check/{log.name_of(entry)}",
        "clock": clock,
        "moment": moment_of,
    }


def _origin() -> str:
    """Where whoever scans the code on a record finds the shop: its address on its own network."""
    found = address_of(db.settings())
    return found.secure or found.plain


def moment_of(at: str | None) -> str:
    """An instant as the shop's clock on the wall showed it."""
    return f"{moment.local(at):%Y-%m-%d %H:%M}" if at else ""


def _reading(row: dict[str, Any], unit: Unit) -> dict[str, Any]:
    """A reading with its figures in print: value, U (k = 2), limits, verdict."""
    look, shape = VERDICTS.get(row.get("verdict", ""), ("close", "◐"))
    part = row.get("part")
    if not part:
        return row | {"class": look, "shape": shape}
    return row | {
        "class": look,
        "shape": shape,
        "label": say("as-it-is", text=part["label"]) if part["label"] else say(f"part-{part['name']}"),
        **measured(part, say, unit),
        "limits": limits_text(part["low"], part["high"], part["unit"], say, unit),
        "from": _from(row["from"]),
        "how": [said for said in (how_read(part, say, unit), _due(part), _left_out(part, unit)) if said],
        "decided": part["low"] is not None or part["high"] is not None,
    }


def _from(origin: dict[str, Any] | None) -> str | None:
    if origin is None:
        return None
    if origin["revision"] is None:
        return str(origin["source"])
    return say("record-from", source=origin["source"], revision=origin["revision"])


def _due(part: dict[str, Any]) -> str | None:
    due = part.get("by", {}).get("due")
    return say("record-inspected", day=due) if due else None


def _left_out(part: dict[str, Any], unit: Unit) -> str | None:
    return left_out_text(part, say, unit) if "left_out" in part else None
