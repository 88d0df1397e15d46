"""What a shop has still to send to its head office: the entries of its log that have not arrived there, in their order.

Nothing is taken out of it but by head office's answer, so a month without a line is no more than a longer outbox.
"""

import json
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from sqlmodel import Session, SQLModel, col, func, select

from webapp.core.bundle import BUNDLE, MOST_ENTRIES, VERSION, cosigned_text
from webapp.core.errors import BadInput, shown
from webapp.core.evidence import AMENDED, Head
from webapp.core.took import ABOUT, REVISION, STEP, TIMES
from webapp.storage import log
from webapp.storage.arrivals import lines_of
from webapp.storage.keys import decoded, public_key, signed
from webapp.storage.log_tables import LogEntry
from webapp.storage.outbox_tables import Cosigned, HeadOffice, KeptApart
from webapp.storage.privacy import erasures_of
from webapp.storage.record_files import amendments
from webapp.storage.sheets import sheet_text
from webapp.storage.tables import Attachment, Job, JobTime, StepTime

LARGEST_BUNDLE = 4_000_000
"""Characters, before they are packed: some ten jobs. What is cut off is sent again, so not too much at once."""


def head_office(db: Session) -> HeadOffice | None:
    """The head office that this shop has joined, if any."""
    return db.get(HeadOffice, 1)


def waiting(db: Session, office: HeadOffice) -> int:
    """How many entries have not arrived yet."""
    return log.size_of(db) - office.size


def oldest_waiting(db: Session, office: HeadOffice) -> LogEntry | None:
    return db.get(LogEntry, office.size)


def apart(db: Session) -> list[KeptApart]:
    return list(db.exec(select(KeptApart).order_by(col(KeptApart.number))))


def bundle(db: Session, office: HeadOffice, head: Head, version: str) -> dict[str, Any]:
    """The next entries, as `core.bundle` reads them, in the log with that head (`log.head`).

    At least one entry where any waits, and then as many as come to LARGEST_BUNDLE. Ten sheets take a few tenths of a
    second to be spelled, so this only reads: no tap waits for it.
    """
    entries: list[dict[str, Any]] = []
    made = {
        BUNDLE: VERSION,
        "version": version,
        "since": office.head_size,
        "head": {"size": head.size, "root": head.root, "at": head.at, "signature": head.signature},
        "consistency": log.consistency(db, office.head_size, head.size) if office.head_size <= head.size else [],
        "entries": entries,
    }
    room = LARGEST_BUNDLE
    wanted = select(LogEntry).where(LogEntry.number >= office.size, LogEntry.number < head.size)
    for entry in db.exec(wanted.order_by(col(LogEntry.number)).limit(MOST_ENTRIES)):
        sent, size = _sent(db, entry, head)
        room -= size
        if room < 0 and entries:
            break
        entries.append(sent)
    return made


def _sent(db: Session, entry: LogEntry, head: Head) -> tuple[dict[str, Any], int]:
    """An entry on its way, and how large what it brings is."""
    proof = log.proof(db, entry, head)
    sent: dict[str, Any] = {"number": entry.number, "entry": entry.text, "path": proof.path}
    newest = log.newest_of(db, entry.job)
    if newest is None or newest.number != entry.number or erasures_of(db, entry.job):
        return sent, len(entry.text)  # a later entry brings it, or it is no longer there
    body = _body(db, db.get_one(Job, entry.job))
    return sent | {"body": body}, len(body["sheet"]) + sum(map(len, body["lines"]))


def _body(db: Session, job: Job) -> dict[str, Any]:
    lines = sorted(lines_of(db, job.id), key=lambda one: _place(json.loads(one.line)))
    times = db.exec(select(JobTime).where(JobTime.job == job.id).order_by(JobTime.calibration)).all()
    steps = db.exec(select(StepTime).where(StepTime.job == job.id).order_by(StepTime.step))
    return {
        "ended_at": job.finished_at,
        "sheet": sheet_text(db, job.sheet or ""),
        "lines": [one.line for one in lines],
        "amendments": _told(amendments(db, job.id), AMENDED),
        "times": _told(times, (*TIMES, *ABOUT, REVISION)),
        "spent": {"steps": _told(steps, STEP), "pauses_s": next((one.pauses_s for one in times), {})},
    }


def _told(rows: Iterable[SQLModel], names: Sequence[str]) -> list[dict[str, Any]]:
    return [{name: getattr(one, name) for name in names} for one in rows]


def _place(event: Mapping[str, Any]) -> tuple[int, str, int]:
    return event.get("round", 0), event["device"], event["seq"]


def note_taken(db: Session, office: HeadOffice, answer: Mapping[str, Any], now: str) -> None:
    """Go by what head office has answered to a bundle: how far it has come, and its signature under the head.

    Raises BadInput (`cosignature-wrong`) where head office's key has not made it: then nothing counts as sent.
    """
    said = answer["cosigned"]
    head = Head(int(said["size"]), str(said["root"]), "")
    text = cosigned_text(office.shop, head, str(said["at"]))
    key = public_key(json.loads(office.key))
    if not signed(key, decoded(said["signature"], "signature", 64), text.encode()):
        what = f"signature={shown(said['signature'])} is not head office's; ask there who answers"
        raise BadInput("cosignature-wrong", "cosigned", what)
    if db.get(Cosigned, head.size) is None and head.size:
        row = {"size": head.size, "root": head.root, "at": said["at"], "shop": office.shop}
        db.add(Cosigned(**row, signature=said["signature"]))
    for one in answer["answers"]:
        if one["status"] == "aside" and db.get(KeptApart, one["number"]) is None:
            entry, error = db.get_one(LogEntry, one["number"]), one["error"]
            why = {"code": error["code"], "message": error["message"]}
            db.add(KeptApart(number=entry.number, job=entry.job, at=now, **why))
    office.size, office.head_size = int(answer["size"]), head.size
    office.photos = len(answer["photos"])
    note_done(db, office, now)


def note_done(db: Session, office: HeadOffice, now: str) -> None:
    office.tried_at = office.done_at = now
    office.failures, office.code, office.why, office.next_at = 0, None, None, None
    db.add(office)


def note_failed(db: Session, office: HeadOffice, code: str, why: str, now: str, next_at: str) -> None:
    """Something kept it from being sent; it is tried again, and nothing is dropped."""
    office.tried_at, office.next_at = now, next_at
    office.failures, office.code, office.why = office.failures + 1, code, why
    db.add(office)


def photos_here(db: Session, names: list[str]) -> list[str]:
    """Those of these photos that this shop still has to give, in the same order."""
    held = set(db.exec(select(Attachment.sha256).where(col(Attachment.sha256).in_(names), Attachment.size > 0)))
    return [one for one in names if one in held]


def cosigned(db: Session) -> int:
    """How many heads were cosigned."""
    return db.exec(select(func.count()).select_from(Cosigned)).one()


def every(db: Session, table: type[SQLModel]) -> list[SQLModel]:
    return list(db.exec(select(table)))


def hurry(db: Session, office: HeadOffice) -> None:
    """Have it tried again at once."""
    office.next_at, office.photos = None, max(office.photos, 1)
    db.add(office)
