"""The record of a finished job, and the photos in it."""

from typing import Any

from flask import Response, redirect, render_template, send_file
from werkzeug.wrappers import Response as AnyResponse

from webapp.core.errors import NotFound, shown
from webapp.core.lengths import MM, Unit
from webapp.core.record import record
from webapp.core.replay import journal_lines
from webapp.core.view.figures import clock, measured
from webapp.core.view.measures import VERDICTS, how_read, left_out_text, limits_text
from webapp.core.vin import groups
from webapp.messages import say
from webapp.storage import attachments, jobs
from webapp.storage.journal import events_of
from webapp.storage.kit import kit
from webapp.storage.people import everyone
from webapp.storage.progress import progress_of
from webapp.web import db, moment
from webapp.web.jobs import pages
from webapp.web.jobs.apart import apart_on_record
from webapp.web.worded import in_words


@pages.get("/jobs/<job_id>/record")
def show_record(job_id: str) -> str | AnyResponse:
    with db.session() as held:
        job = jobs.job_of(held, job_id)
        if job.sheet is None:
            return redirect(f"/jobs/{job_id}/{'plan' if job.phase == 'planning' else 'drop'}")
        progress = progress_of(held, job_id)
        events = [event for _seq, event in events_of(held, job_id)]
        names = {person.code: person.name for person in everyone(held)}
        things = {code: item["name"] for code, item in kit(held).items()}
        apart = apart_on_record(held, job_id, progress)
        begun = job.started_at or job.created_at
        check = jobs.day_check_before(held, begun, since=moment.day_began(begun))
    sheet = in_words(progress.sheet)
    made = record(sheet, progress.state, events)
    unit = sheet.get("unit", MM)
    made["readings"] = [_reading(row, unit) for row in made["readings"]]
    return render_template(
        "jobs/record.html",
        job=job,
        sheet=sheet,
        state=progress.state,
        record=made,
        groups=groups(job.vin) if job.vin else (),
        names=names,
        things=things,
        check=check,
        apart=apart,
        clock=clock,
        moment=_moment,
    )


def _moment(at: str | None) -> str:
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


@pages.get("/jobs/<job_id>/journal.jsonl")
def show_journal(job_id: str) -> Response:
    """The job's sheet and events as one file, which `baybook replay` folds."""
    with db.session() as held:
        progress = progress_of(held, job_id)
        lines = list(journal_lines(progress.sheet, [event for _seq, event in events_of(held, job_id)]))
    headers = {"Content-Disposition": f'attachment; filename="job-{job_id}.jsonl"'}
    return Response("\n".join(lines) + "\n", mimetype="application/jsonl", headers=headers)


@pages.get("/photos/<sha256>.jpg")
def show_photo(sha256: str) -> Response:
    path = attachments.photo_path(db.settings().photos, sha256)
    if not path.is_file():
        raise NotFound("photo-unknown", "photo", f"photo={shown(sha256)} is not kept here")
    return send_file(path, mimetype=attachments.MEDIA, max_age=31_536_000)
