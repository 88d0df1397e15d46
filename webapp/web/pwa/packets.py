"""What a phone needs to work alone: a job's packet, and the shelf with the open jobs, the kit and who is working."""

from dataclasses import asdict
from typing import Any

from flask import Response, jsonify

from webapp.core.kinds.common import Person
from webapp.storage import jobs
from webapp.storage.journal import events_of
from webapp.storage.kit import kit
from webapp.storage.people import everyone
from webapp.storage.progress import progress_of
from webapp.web import db
from webapp.web.pwa import pages
from webapp.web.who import current_person


@pages.get("/phone/packets/<job_id>")
def show_packet(job_id: str) -> Response:
    """A started job: {job, sheet_hash, sheet, events: [[server_seq, event], …]}, read in one transaction."""
    with db.session() as held:
        progress = progress_of(held, job_id)
        events = [[place, asdict(event)] for place, event in events_of(held, job_id)]
    return _answer(job=job_id, sheet_hash=progress.sheet_hash, sheet=progress.sheet, events=events)


@pages.get("/phone/shelf")
def show_shelf() -> Response:
    """{jobs: [ids of the open ones], kit, badges: {CODE: person}, person: whose badge was scanned on this phone}."""
    with db.session() as held:
        opened = [job.id for sort in ("calibration", "day") for job in jobs.jobs_in(held, "open", sort=sort)]
        at_work = [Person(one.code, one.role, one.name) for one in everyone(held) if one.active]
        things = kit(held)
    person = current_person()
    badges = {one.code: asdict(one) for one in at_work}
    return _answer(jobs=opened, kit=things, badges=badges, person=asdict(person) if person else None)


def _answer(**told: Any) -> Response:
    answer = jsonify(told)
    answer.headers["Cache-Control"] = "no-store"
    return answer
