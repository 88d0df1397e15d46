"""What whoever opens a job should look at: where two phones crossed, and where the server decided otherwise."""

from typing import Any

from sqlmodel import Session

from webapp.core.crossing import Shown
from webapp.core.view import apart_view
from webapp.core.vouched import unheard, unproven
from webapp.messages import say
from webapp.storage.differences import differences_of
from webapp.storage.own import is_own
from webapp.storage.people import everyone
from webapp.storage.progress import Progress
from webapp.web import db, moment
from webapp.web.worded import in_words

View = dict[str, Any]


def only_own_pages(at: Progress) -> bool:
    """Whether no phone has worked on the job alone, so that there is nothing to look for."""
    return all(map(is_own, at.devices))


def apart_of(job_id: str, at: Progress) -> View:
    """`apart` for a page of the job."""
    if only_own_pages(at):
        return {}
    with db.session() as held:
        names = {person.code: person.name for person in everyone(held)}
        return apart_view(in_words(at.sheet), differences_of(held, job_id), names, say)


def unproven_of(at: Progress) -> tuple[str, ...]:
    """The steps whose countersign came from a phone, did not hold or waits for another phone, and still stands."""
    return unproven(at.state, _found(at))


def waits_of(at: Progress) -> str | None:
    """Why the job cannot end yet, where that hangs on a countersign."""
    found = _found(at)
    if unheard(at.state, found):
        return say("finish-waits-phone")
    wrong = unproven(at.state, found)
    return say("finish-waits-wrong", count=len(wrong)) if wrong else None


def _found(at: Progress) -> list[Shown]:
    if only_own_pages(at):
        return []
    with db.session() as held:
        return differences_of(held, at.sheet["job"]["id"])


def apart_on_record(held: Session, job_id: str, at: Progress) -> list[View]:
    """The same for the record, each with the times of its events by the shop's clock and who made them."""
    if only_own_pages(at):
        return []
    names = {person.code: person.name for person in everyone(held)}
    found = differences_of(held, job_id)
    rows = apart_view(in_words(at.sheet), found, names, say).get("apart", {"list": []})["list"]
    for row, one in zip(rows, found, strict=True):
        events = [one.other, one.event] if one.other else [one.event]
        row["when"] = " · ".join(f"{moment.local(event.at):%Y-%m-%d %H:%M}" for event in events)
        row["by"] = names.get(one.event.person or "", "") if one.other is None else ""
    return list(rows)
