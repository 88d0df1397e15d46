"""What the shop holds of a vehicle's owner: found by the VIN, given out, and erased.

Erasing leaves what is not the owner's: which calibration was done by whom, with which readings and times. The sheet is
frozen anew without the VIN, so under another name; of each event that was changed the hash of its line as it was
recorded stays, and so do the log, its proofs and the chain. The sheet held a random salt, which goes with it, so that
its hash in the log tells nothing to whoever tries VINs.
"""

import json
import sqlite3
from collections.abc import Iterable
from contextlib import closing
from pathlib import Path
from typing import Any

from sqlalchemy import Engine, text
from sqlmodel import Session, col, select

from webapp.core.chain import digest
from webapp.core.errors import Conflict, shown
from webapp.core.evidence import Entry
from webapp.core.proven import entry_of
from webapp.storage import log
from webapp.storage.attachments import photo_path
from webapp.storage.journal import as_event
from webapp.storage.log_tables import Amendment
from webapp.storage.phone_tables import Arrival, Aside, Difference
from webapp.storage.privacy_tables import Erasure
from webapp.storage.sheets import keep_sheet, read_sheet
from webapp.storage.tables import Attachment, EventRow, Job, Sheet

VEHICLE, PHOTOS = "vehicle", "photos"
WHAT = (VEHICLE, PHOTOS)
"""Kinds of personal data: VIN, plate, repair order and whatever was typed; and the photos."""
GONE = "[erased]"
PATIENCE_S = 30
TYPED = ("text", "reason", "code")
CHOSEN = ("paused", "scanned")
"""Events whose texts were chosen from a list, or read off a label of the shop's."""


def jobs_of_vehicle(db: Session, vin: str) -> list[Job]:
    """Every job on that VIN, the oldest first."""
    wanted = vin.strip().upper()
    return list(db.exec(select(Job).where(col(Job.vin) == wanted).order_by(Job.created_at))) if wanted else []


def erasures_of(db: Session, job: str) -> list[Erasure]:
    return list(db.exec(select(Erasure).where(Erasure.job == job).order_by(col(Erasure.id))))


def erased(db: Session) -> list[str]:
    """The jobs of which phones have to drop what they hold."""
    return sorted(set(db.exec(select(Erasure.job))))


def need_whole(db: Session, job: str) -> None:
    """Raise Conflict (`record-erased`) for a job of which something was erased: its record can prove itself no more."""
    if found := erasures_of(db, job):
        what = f"job={shown(job)}: personal data was erased on {found[-1].at[:10]}; its record is given out no more"
        raise Conflict("record-erased", "job", what)


def ended_before(db: Session, at: str, what: str) -> list[Job]:
    """The jobs on vehicles that ended before that instant, and of which that kind has not been erased."""
    ended = col(Job.phase).in_(("finished", "abandoned")), col(Job.finished_at) < at, Job.sort == "calibration"
    gone = {one.job for one in db.exec(select(Erasure)) if what in one.what}
    return [job for job in db.exec(select(Job).where(*ended).order_by(Job.id)) if job.id not in gone]


def erase(db: Session, jobs: Iterable[Job], what: Iterable[str], by: str, reason: str, at: str) -> list[str]:
    """Erase these kinds of data of ended jobs, inside the session's transaction, and write down that it was done.

    Return the names of the photos that no job has any more; `forget_files` and `press` follow once the transaction has
    ended well. Raises Conflict (`job-open`, `aside-waits`) where something of a job is still to come.
    """
    kinds, left = [one for one in WHAT if one in what], []
    for job in jobs:
        _need_settled(db, job)
        if VEHICLE in kinds:
            _erase_vehicle(db, job)
        if PHOTOS in kinds:
            left += _erase_photos(db, job)
        db.add(Erasure(job=job.id, what=kinds, at=at, by=by, reason=reason))
        if newest := log.newest_of(db, job.id):
            stood = entry_of(newest.text)
            log.add(db, [Entry("erased", job.id, stood.sheet, stood.journal, stood.events, at)])
    db.flush()
    named = set(db.exec(select(Attachment.sha256).where(col(Attachment.sha256).in_(left))))
    return sorted(set(left) - named)


def is_settled(db: Session, job: Job) -> bool:
    """Whether nothing of the job is still to come."""
    try:
        _need_settled(db, job)
    except Conflict:
        return False
    return True


def _need_settled(db: Session, job: Job) -> None:
    if job.phase not in ("finished", "abandoned"):
        what = f"job={shown(job.id)} is still {job.phase}; end it or drop it first, then erase"
        raise Conflict("job-open", "job", what)
    waiting = select(Aside).where(col(Aside.decided_at).is_(None))
    for aside in db.exec(waiting):
        if aside.job == job.id or (job.vin and job.vin in aside.line):
            what = f"aside={aside.id}: a phone brought something of job {shown(job.id)} that waits; decide that first"
            raise Conflict("aside-waits", "aside", what)


def _erase_vehicle(db: Session, job: Job) -> None:
    vin = job.vin
    if job.sheet:
        _erase_sheet(db, job)
    for row in db.exec(select(EventRow).where(EventRow.job == job.id)):
        _erase_event(db, row, vin)
    for amendment in db.exec(select(Amendment).where(Amendment.job == job.id)):
        amendment.text = amendment.reason = GONE
        db.add(amendment)
    for aside in db.exec(select(Aside)):
        if aside.job == job.id or (vin and vin in aside.line):
            aside.line, aside.message = "{}", GONE
            db.add(aside)
    for found in db.exec(select(Difference).where(Difference.job == job.id)):
        found.phone = found.server = json.dumps(GONE)
        db.add(found)
    job.vin = job.repair_order = job.lamps = job.codes = ""
    job.odometer_km, job.plan = None, _without_texts(job.plan)
    db.add(job)


def _without_texts(plan: dict[str, Any]) -> dict[str, Any]:
    """Of a changed plan it stays what was changed, and not why."""
    blank = {name: dict.fromkeys(plan.get(name, {}), GONE) for name in ("added", "struck")}
    dropped = {"dropped": GONE} if "dropped" in plan else {}
    return plan | blank | dropped


def _erase_sheet(db: Session, job: Job) -> None:
    """Freeze the sheet anew without what is the owner's; the one that held it goes."""
    before = job.sheet or ""
    sheet = _struck(read_sheet(db, before), job.vin)
    about = sheet["job"]
    about |= {"vin": "", "repair_order": "", "odometer_km": None, "lamps": "", "codes": ""}
    about.pop("salt", None)
    for one in sheet["calibrations"]:
        one["added"] = one["added"] and GONE
    for one in sheet.get("struck") or []:
        one["why"] = GONE
    job.sheet = keep_sheet(db, sheet)
    db.add(job)
    db.flush()
    if before != job.sheet and db.exec(select(Job.id).where(Job.sheet == before)).first() is None:
        db.delete(db.get_one(Sheet, before))


def _erase_event(db: Session, row: EventRow, vin: str) -> None:
    data = json.loads(row.data)
    left = _struck(data, vin)
    if row.kind not in CHOSEN:
        left |= {name: GONE for name in TYPED if isinstance(left.get(name), str) and left[name]}
    if "answer" in left:
        left["answer"] = dict.fromkeys(left["answer"], GONE)  # what a code told of the vehicle, and the reason again
    if left == data:
        return
    event = as_event({name: getattr(row, name) for name in (*EVENT_FIELDS,)})
    arrival = db.get(Arrival, (row.device, row.seq))
    row.was = row.was or (arrival.sha256 if arrival else digest(event.as_json()))
    row.data = json.dumps(left, ensure_ascii=False, separators=(",", ":"))
    db.add(row)
    if arrival:
        arrival.line = as_event({name: getattr(row, name) for name in EVENT_FIELDS}).as_json()
        db.add(arrival)


EVENT_FIELDS = tuple(name for name in EventRow.model_fields if name not in ("server_seq", "was"))


def _struck(value: Any, vin: str) -> Any:
    """The value without the VIN, wherever it stands in it."""
    if isinstance(value, str):
        return GONE if vin and vin in value.upper() else value
    if isinstance(value, dict):
        return {name: _struck(one, vin) for name, one in value.items()}
    return [_struck(one, vin) for one in value] if isinstance(value, list) else value


def _erase_photos(db: Session, job: Job) -> list[str]:
    rows = list(db.exec(select(Attachment).where(Attachment.job == job.id)))
    for row in rows:
        db.delete(row)
    return [row.sha256 for row in rows]


def forget_files(folder: Path, photos: Path, names: Iterable[str]) -> None:
    """Remove photos that no job has any more, and all printed records: any of them can be made anew."""
    for name in names:
        photo_path(photos, name).unlink(missing_ok=True)
        for begun in photos.rglob(f"*{name}*"):
            begun.unlink(missing_ok=True)
    for paper in (folder / "records").glob("*.pdf"):
        paper.unlink(missing_ok=True)


def press(engine: Engine) -> None:
    """Write the database anew, so that nothing that was erased is left in it or beside it."""
    if engine.dialect.name != "sqlite":
        with engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
            connection.execute(text("VACUUM FULL"))
        return
    with closing(sqlite3.connect(str(engine.url.database), timeout=PATIENCE_S, isolation_level=None)) as raw:
        for statement in ("PRAGMA secure_delete=ON", "VACUUM", "PRAGMA wal_checkpoint(TRUNCATE)"):
            raw.execute(statement)
