"""The shop's log of ended jobs: only ever added to, in the transaction that ends the job, and signed when asked for.

Who holds an older head can be shown that the log continues it (`consistency`); a record carries the proof that its job
was entered (`proof`). The complete nodes of the tree are kept, so a proof reads some twenty rows of a million.
"""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Engine, insert
from sqlmodel import Session, col, func, select
from sqlmodel.sql.expression import SelectOfScalar

from webapp.core import merkle
from webapp.core.evidence import Entry, Head, amendment_text, journal_digest
from webapp.storage.arrivals import marks_of
from webapp.storage.engine import session, writing
from webapp.storage.keys import encoded, sign
from webapp.storage.log_tables import Amendment, LogEntry, LogHead, LogNode
from webapp.storage.own_keys import RECORDS, private_key
from webapp.storage.tables import Fact, Job

SIZE = "log-size"
AT_A_TIME = 50
"""So many jobs are entered late in one transaction: a fifth of a second."""


@dataclass(frozen=True)
class Proof:
    """An entry with its place, and the path from it to the root of a signed head, in hexadecimal."""

    text: str
    number: int
    path: list[str]
    head: Head


def enter(db: Session, job: Job, amendment: Amendment | None = None) -> None:
    """Write down how an ended job stands. Nothing happens where its last entry says the same already."""
    db.flush()
    events = [mark[1:] for mark in marks_of(db, job.id)]
    before = entries_of(db, job.id)
    why = "amended" if amendment else "joined" if before else job.phase
    at = amendment.at if amendment else job.finished_at or ""
    also = hashlib.sha256(amendment_text(amendment.model_dump()).encode()).hexdigest() if amendment else None
    entry = Entry(why, job.id, job.sheet or "", journal_digest(events), len(events), at, also)
    if amendment or not any(entry.journal in one.text for one in before[-1:]):
        add(db, [entry])


def add(db: Session, entries: Sequence[Entry]) -> None:
    """Add entries in this order, inside the session's transaction, and the nodes that they complete."""
    size = _locked_size(db)
    known: dict[tuple[int, int], bytes] = {}

    def node(level: int, number: int) -> bytes:
        return known.get((level, number)) or db.get_one(LogNode, (level, number)).hash

    rows, nodes = [], []
    for number, entry in enumerate(entries, int(size.value)):
        text = entry.text()
        rows.append({"number": number, "job": entry.job, "text": text})
        for level, place, found in merkle.grown(number, merkle.leaf_hash(text.encode()), node):
            known[level, place] = found
            nodes.append({"level": level, "number": place, "hash": found})
    if rows:
        db.connection().execute(insert(LogEntry), rows)
        db.connection().execute(insert(LogNode), nodes)
        size.value = str(int(size.value) + len(rows))
        db.add(size)
        db.flush()


def _locked_size(db: Session) -> Fact:
    """How many entries there are; nobody else can add one before this transaction ends."""
    found = db.exec(select(Fact).where(Fact.name == SIZE).with_for_update()).first()
    return found or Fact(name=SIZE, value="0")


def size_of(db: Session) -> int:
    fact = db.get(Fact, SIZE)
    return int(fact.value) if fact else 0


def entries_of(db: Session, job: str) -> list[LogEntry]:
    """What was entered about a job, in order."""
    return list(db.exec(select(LogEntry).where(LogEntry.job == job).order_by(col(LogEntry.number))))


def name_of(entry: LogEntry) -> str:
    """An entry's name in addresses: its number, and its hash in the tree."""
    return f"{entry.number}-{merkle.leaf_hash(entry.text.encode()).hex()}"


def newest_of(db: Session, job: str) -> LogEntry | None:
    """The last thing that was entered about a job."""
    return db.exec(select(LogEntry).where(LogEntry.job == job).order_by(col(LogEntry.number).desc())).first()


def catch_up(engine: Engine) -> int:
    """Enter the jobs that ended before there was a log, in the order in which they did; return how many."""
    with session(engine) as db:
        jobs = list(db.exec(_late().order_by(col(Job.finished_at), col(Job.id))).all())
    for begin in range(0, len(jobs), AT_A_TIME):
        with writing(engine) as db:
            for name in jobs[begin : begin + AT_A_TIME]:
                enter(db, db.get_one(Job, name))
    return len(jobs)


def is_behind(engine: Engine) -> bool:
    """Whether there are such jobs."""
    with session(engine) as db:
        return db.exec(_late().limit(1)).first() is not None


def _late() -> SelectOfScalar[str]:
    over = col(Job.phase).in_(("finished", "abandoned")), col(Job.sheet).is_not(None)
    return select(Job.id).where(*over, col(Job.id).not_in(select(LogEntry.job)))


def head(db: Session, folder: Path, now: str) -> Head:
    """The log as it stands, signed; `folder` holds the shop's key. Call it inside a `writing` transaction."""
    size = size_of(db)
    if kept := db.get(LogHead, size):
        return Head(kept.size, kept.root, kept.at, kept.signature)
    made = Head(size, merkle.root(size, _nodes(db)).hex(), now)
    signature = encoded(sign(private_key(folder, RECORDS), made.text().encode()))
    db.add(LogHead(size=size, root=made.root, at=now, signature=signature))
    db.flush()
    return Head(size, made.root, now, signature)


def heads(db: Session) -> list[Head]:
    """Every head that was signed, the shortest log first."""
    return [Head(one.size, one.root, one.at, one.signature) for one in db.exec(select(LogHead).order_by(LogHead.size))]  # type: ignore[arg-type]


def proof(db: Session, entry: LogEntry, top: Head) -> Proof:
    """That an entry lies in the log with that head."""
    path = merkle.inclusion(entry.number, top.size, _nodes(db))
    return Proof(entry.text, entry.number, [one.hex() for one in path], top)


def consistency(db: Session, first: int, size: int) -> list[str]:
    """That the log of that size begins with the log of the first size, in hexadecimal."""
    return [one.hex() for one in merkle.consistency(first, size, _nodes(db))]


def ended(db: Session) -> int:
    """How many jobs have come to an end, entered or not."""
    over = col(Job.phase).in_(("finished", "abandoned")), col(Job.sheet).is_not(None)
    return db.exec(select(func.count()).select_from(Job).where(*over)).one()


def _nodes(db: Session) -> merkle.Node:
    return lambda level, number: db.get_one(LogNode, (level, number)).hash
