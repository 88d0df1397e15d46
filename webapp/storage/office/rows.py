"""The rows that a bundle becomes. They are copied into a table of the connection's own, and go from there to where they
belong; what is there already stays as it is.
"""

import json
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any

from pydantic_core import to_json
from sqlalchemy import Connection, delete, insert, select, text, update

from webapp.core.bundle import Body, Checked, photographed
from webapp.core.errors import NotFound, shown
from webapp.core.proven import Finding
from webapp.storage.engine import copying
from webapp.storage.office.tables import aside, entry, event, job, photo, sheet

_STAGE = text(
    "CREATE TEMPORARY TABLE IF NOT EXISTS arriving "
    "(number bigint, job text, device text, seq bigint, ended_on date, sha256 text, line text) ON COMMIT DELETE ROWS"
)
_COPY = "COPY arriving (number, job, device, seq, ended_on, sha256, line) FROM STDIN"
_MOVE = text(
    "INSERT INTO office.event (shop, job, device, seq, ended_on, sha256, line) "
    "SELECT :shop, job, device, seq, ended_on, sha256, line FROM arriving ON CONFLICT DO NOTHING"
)
_CLASHING = text(
    "SELECT DISTINCT a.number FROM arriving a JOIN office.event e ON e.shop = :shop AND e.job = a.job "
    "AND e.device = a.device AND e.seq = a.seq AND e.ended_on = a.ended_on WHERE e.sha256 <> a.sha256"
)
_SHEET = text(
    "INSERT INTO office.sheet (shop, hash, ended_on, body) VALUES (:shop, :sheet, :ended_on, :body) "
    "ON CONFLICT DO NOTHING"
)
_JOB = text(
    "INSERT INTO office.job (shop, id, ended_on, phase, sheet, journal, events, amendments, erased, spent) "
    "VALUES (:shop, :job, :ended_on, :phase, :sheet, :journal, :events, :amendments, false, :spent) "
    "ON CONFLICT (shop, id, ended_on) DO UPDATE SET sheet = excluded.sheet, journal = excluded.journal, "
    "events = excluded.events, amendments = excluded.amendments, spent = coalesce(excluded.spent, job.spent)"
)
_TIME = text(
    "INSERT INTO office.time (shop, job, calibration, ended_on, own_s, shared_s, waited_s, outcome, first_time_pass, "
    "estimated, vehicle, bay, placed, revision) VALUES (:shop, :job, :calibration, :ended_on, :own_s, :shared_s, "
    ":waited_s, :outcome, :first_time_pass, :estimated, :vehicle, :bay, :placing, :revision) "
    "ON CONFLICT (shop, job, calibration, ended_on) DO UPDATE SET "
    "own_s = excluded.own_s, shared_s = excluded.shared_s, waited_s = excluded.waited_s, outcome = excluded.outcome, "
    "first_time_pass = excluded.first_time_pass, estimated = excluded.estimated, "
    "placed = coalesce(excluded.placed, time.placed), revision = coalesce(excluded.revision, time.revision)"
)
_PHOTO = text(
    "INSERT INTO office.photo (shop, job, sha256, here) VALUES (:shop, :job, :sha256, false) ON CONFLICT DO NOTHING"
)


def body_of(one: Checked) -> Body:
    if one.sent.body is None:
        raise ValueError(f"entry {one.sent.number} came without a body")
    return one.sent.body


def day_of(one: Checked) -> date:
    return day(body_of(one))


def day(body: Body) -> date:
    """The day on which the job ended, in UTC: it says in which part its rows lie."""
    return date.fromisoformat(body.ended_at[:10])


def known(db: Connection, shop: str, checked: Sequence[Checked]) -> dict[str, date]:
    """Of these entries' jobs those that arrived before, with the day on which they had ended."""
    named = [one.sent.entry.job for one in checked]
    where = entry.c.shop == shop, entry.c.job.in_(named), entry.c.ended_on.is_not(None)
    rows = db.execute(select(entry.c.job, entry.c.ended_on).where(*where)) if named else ()
    return {row.job: row.ended_on for row in rows}


def elsewhere(checked: Sequence[Checked], days: Mapping[str, date]) -> dict[int, Finding]:
    """Jobs that arrived before as ended on another day: their rows would stand in another part, and so twice."""
    found = {}
    for one in checked:
        was = days.get(one.sent.entry.job)
        if was is not None and was != day_of(one):
            what = f"ended_at={body_of(one).ended_at}: the job arrived before as ended on {was}; a person decides"
            found[one.sent.number] = Finding("ended-otherwise", "ended_at", what)
    return found


def keep_events(db: Connection, shop: str, checked: Sequence[Checked]) -> dict[int, Finding]:
    """Keep the lines that are not here yet. Where other bytes stand in a line's place, its entry is told of."""
    if not checked:
        return {}
    db.execute(_STAGE)
    with copying(db, _COPY) as copy:
        for one in checked:
            for row in _lines(one):
                copy.write_row(row)
    kept = db.execute(_MOVE, {"shop": shop}).rowcount
    if kept == sum(len(one.events) for one in checked):
        return {}
    clashing = set(db.execute(_CLASHING, {"shop": shop}).scalars())
    what = "lines has an event that arrived before with other bytes; both are kept, and a person decides"
    return {number: Finding("event-other-bytes", "lines", what) for number in clashing}


def _lines(one: Checked) -> Iterable[tuple[Any, ...]]:
    number, name, day = one.sent.number, one.sent.entry.job, day_of(one)
    for made, sha256, line in zip(one.events, one.digests, body_of(one).lines, strict=True):
        yield number, name, made.device, made.seq, day, sha256, line


def keep_entries(db: Connection, shop: str, log: int, checked: Sequence[Checked]) -> None:
    made = [
        {
            "shop": shop,
            "log": log,
            "number": one.sent.number,
            "job": one.sent.entry.job,
            "text": one.sent.text,
            "ended_on": day_of(one) if one.sent.body else None,
        }
        for one in checked
    ]
    if made:
        db.execute(insert(entry), made)


def keep_jobs(db: Connection, shop: str, checked: Sequence[Checked]) -> None:
    """The jobs themselves, their sheets, their times, and which photos are to come."""
    for statement, made in ((_JOB, _job), (_SHEET, _job), (_TIME, _times), (_PHOTO, _photos)):
        if several := [{"shop": shop, **row} for one in checked for row in made(one)]:
            db.execute(statement, several)


def _job(one: Checked) -> list[dict[str, Any]]:
    said, body = one.sent.entry, body_of(one)
    made = {"job": said.job, "ended_on": day_of(one), "phase": _phase(one), "sheet": said.sheet, "body": body.sheet}
    made |= {"journal": said.journal, "events": said.events, "amendments": json.dumps(body.amendments)}
    return [made | {"spent": to_json(body.spent).decode() if body.spent else None}]


def _phase(one: Checked) -> str:
    """How it ended: by the last event that says so."""
    ends = [made.kind for made in one.events if made.kind in ("finished", "abandoned")]
    return ends[-1] if ends else "finished"


def months_again(checked: Iterable[Checked], days: Mapping[str, date]) -> set[date]:
    """The months of jobs that have arrived before, or that come twice: these are in what was added up already."""
    met, found = set(days), set()
    for one in checked:
        name = one.sent.entry.job
        if name in met:
            found.add(day_of(one).replace(day=1))
        met.add(name)
    return found


def timed(checked: Iterable[Checked]) -> tuple[list[dict[str, Any]], dict[str, dict[str, Any]]]:
    """What `months.add` takes of them: the rows of their calibrations, and by job where the time went."""
    whole = list(checked)
    rows = [
        row | {"vehicle": row["vehicle"] or "", "revision": row["revision"] or 0, "placed": row["placing"] or ""}
        for one in whole
        for row in _times(one)
    ]
    return rows, {one.sent.entry.job: spent for one in whole if (spent := body_of(one).spent)}


def _times(one: Checked) -> list[dict[str, Any]]:
    about = {"job": one.sent.entry.job, "ended_on": day_of(one)}
    return [about | row for row in body_of(one).times]


def _photos(one: Checked) -> list[dict[str, Any]]:
    return [{"job": one.sent.entry.job, "sha256": name} for name in photographed(one)]


def set_aside(db: Connection, shop: str, log: int, found: Sequence[tuple[Checked, Finding]], now: str) -> None:
    """Keep what cannot be taken in, in its own bytes, with why."""
    for one, why in found:
        body = one.sent.body
        said = {"shop": shop, "log": log, "number": one.sent.number, "job": one.sent.entry.job, "received_at": now}
        said |= {"code": why.code, "field": why.field, "message": why.message}
        db.execute(insert(aside).values(said | {"body": json.dumps(body.__dict__ if body else None)}))


def erase(db: Connection, shop: str, name: str) -> list[str]:
    """The shop has erased what was the vehicle's owner's: what was recorded goes, the entries and the times stay.

    Return the photos whose files go with it.
    """
    named = select(photo.c.sha256).where(photo.c.shop == shop, photo.c.job == name)
    photos = list(db.execute(named).scalars())
    sheets = select(job.c.sheet).where(job.c.shop == shop, job.c.id == name)
    db.execute(delete(sheet).where(sheet.c.shop == shop, sheet.c.hash.in_(sheets)))
    for table, column in ((event, event.c.job), (photo, photo.c.job), (aside, aside.c.job)):
        db.execute(delete(table).where(table.c.shop == shop, column == name))
    db.execute(update(job).where(job.c.shop == shop, job.c.id == name).values(erased=True, amendments="[]"))
    still = set(db.execute(select(photo.c.sha256).where(photo.c.shop == shop, photo.c.sha256.in_(photos))).scalars())
    return [one for one in photos if one not in still]


def wanted_photos(db: Connection, shop: str, most: int = 50) -> list[str]:
    """Photos of this shop that have not come yet."""
    lacking = select(photo.c.sha256).where(photo.c.shop == shop, ~photo.c.here)
    return list(db.execute(lacking.distinct().order_by(photo.c.sha256).limit(most)).scalars())


def need_named(db: Connection, shop: str, name: str) -> None:
    """Raise NotFound (`photo-unknown`) for a photo that no job of this shop names."""
    where = photo.c.shop == shop, photo.c.sha256 == name
    if db.execute(select(photo.c.job).where(*where).limit(1)).first() is None:
        what = f"photo={shown(name)} is named by no job of this shop here; send its job first"
        raise NotFound("photo-unknown", "photo", what)
