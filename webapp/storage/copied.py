"""Whether a copy of the shop holds what it should, and when one last did."""

import json
from dataclasses import asdict, dataclass
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from typing import Any

from sqlalchemy import Engine, text
from sqlmodel import Session, col, func, select

from webapp.core import merkle
from webapp.core.errors import BadInput
from webapp.storage import log
from webapp.storage.attachments import photo_path
from webapp.storage.engine import session
from webapp.storage.log_tables import LogEntry, LogNode
from webapp.storage.moments import instant
from webapp.storage.tables import Attachment, EventRow, Fact, Job

NEWEST = "backup"


@dataclass(frozen=True)
class Copied:
    """What was found in a copy: when it was looked through, how many of each, when its last job was finished."""

    at: str
    jobs: int
    events: int
    photos: int
    entries: int
    last: str | None


def try_out(engine: Engine, photos: Path, now: datetime) -> Copied:
    """Look through a shop: the database is sound, every photo is the one that is named, and the log fits its entries.

    Raises BadInput (`backup`) for the first thing that is not so.
    """
    with session(engine) as db:
        if engine.dialect.name == "sqlite":
            told = db.connection().execute(text("PRAGMA integrity_check")).scalars().all()[0]
            if told != "ok":
                raise _bad(f"its database is damaged: {told}")
        named = set(db.exec(select(Attachment.sha256).where(col(Attachment.size) > 0)).all())
        for name in sorted(named):
            path = photo_path(photos, name)
            if not path.is_file():
                raise _bad(f"photo {name} is missing")
            if sha256(path.read_bytes()).hexdigest() != name:
                raise _bad(f"photo {name} is damaged")
        return Copied(
            instant(now),
            _count(db, Job),
            _count(db, EventRow),
            len(named),
            _log(db),
            db.exec(select(func.max(Job.finished_at))).one(),
        )


def note_copied(db: Session, found: Copied, folder: str) -> None:
    """Remember the newest copy that was tried, for the page that tells how old it is."""
    fact = db.get(Fact, NEWEST) or Fact(name=NEWEST, value="")
    fact.value = json.dumps(asdict(found) | {"folder": folder})
    db.add(fact)


def newest(db: Session) -> dict[str, Any] | None:
    """The newest copy that was tried: the fields of Copied, and the folder. None where there never was one."""
    fact = db.get(Fact, NEWEST)
    return json.loads(fact.value) if fact else None


def _count(db: Session, table: Any) -> int:
    return db.exec(select(func.count()).select_from(table)).one()


def _log(db: Session) -> int:
    """How many entries the log has, all of them hashed anew."""
    size = log.size_of(db)
    known: dict[tuple[int, int], bytes] = {}
    numbers = 0
    for entry in db.exec(select(LogEntry).order_by(col(LogEntry.number))):
        if entry.number != numbers:
            raise _bad(f"entry {numbers} of the log is missing")
        for level, number, made in merkle.grown(numbers, merkle.leaf_hash(entry.text.encode()), lambda *at: known[at]):
            known[level, number] = made
        numbers += 1
    kept = {(one.level, one.number): one.hash for one in db.exec(select(LogNode))}
    if numbers != size or kept != known:
        raise _bad("its log does not fit the entries in it")
    return size


def _bad(what: str) -> BadInput:
    return BadInput("backup", "copy", f"the copy is not sound: {what}; make another one, and look at the disk")
