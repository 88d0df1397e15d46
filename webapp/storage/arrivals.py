"""What phones have brought, in their own bytes: kept beside the journal's rows, hashed, and given to other phones.

A job's digest lets two sides see that they hold the same events: the SHA-256 over a line `DEVICE SEQ SHA256` and a line
feed for each event, sorted by device and seq. An event of the server's own has the bytes of its line in a journal file.
"""

import hashlib
from collections import OrderedDict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from threading import Lock
from typing import Any, NamedTuple

from sqlalchemy import RowMapping, Select, bindparam, func, insert, select, union_all
from sqlmodel import Session

from webapp.core.events import Event
from webapp.core.evidence import journal_digest
from webapp.storage.direct import Direct
from webapp.storage.journal import as_event
from webapp.storage.phone_tables import Arrival, Aside
from webapp.storage.tables import EventRow, Job

MOST_JOBS = 256


@dataclass(frozen=True, slots=True)
class Line:
    """An event as its phone wrote it: the text, its SHA-256 in hexadecimal, and the journal's row of what it says."""

    row: dict[str, Any]
    text: str
    sha256: str


@dataclass(frozen=True, slots=True)
class Numbered:
    """A line of a job and the number under which the server heard of it."""

    server_seq: int
    line: str
    sha256: str
    device: str
    seq: int


class Mark(NamedTuple):
    """A line of a job by its hash, and the number under which the server heard of it."""

    server_seq: int
    device: str
    seq: int
    sha256: str


_event, _arrival = EventRow.__table__, Arrival.__table__  # type: ignore[attr-defined]
_aside, _job = Aside.__table__, Job.__table__  # type: ignore[attr-defined]
_add_event = Direct(insert(_event).values({name: bindparam(name) for name in Event.__slots__}))
_add_arrival = Direct(insert(_arrival).values({name: bindparam(name) for name in _arrival.c.keys()}))  # noqa: SIM118
_both = (_arrival.c.device == _event.c.device) & (_arrival.c.seq == _event.c.seq)


def _of_job(*columns: Any) -> Select[Any]:
    return (
        select(*columns)
        .join_from(_event, _arrival, _both, isouter=True)
        .where(_event.c.job == bindparam("of_job"), _event.c.server_seq > bindparam("after"))
        .order_by(_event.c.server_seq)
    )


_lines = _of_job(_event, _arrival.c.line, _arrival.c.sha256)
_marks = Direct(
    _of_job(_event.c.server_seq, _event.c.device, _event.c.seq, func.coalesce(_arrival.c.sha256, _event.c.was))
)
# A writer's event holds its job's row by its foreign key until the commit. SQLite has one writer, and no such lock.
_hold = Direct(select(_job.c.id).where(_job.c.id == bindparam("job")).with_for_update())


def keep(db: Session, batch: int, lines: Sequence[Line]) -> None:
    """Add the events to the journal, and their bytes beside it, inside the session's transaction.

    The caller has seen to it that neither their ids nor their places in their device's journal are taken.
    """
    connection = db.connection()
    _add_event.many(connection, [one.row for one in lines])
    kept = [
        {"device": one.row["device"], "seq": one.row["seq"], "batch": batch, "sha256": one.sha256, "line": one.text}
        for one in lines
    ]
    _add_arrival.many(connection, kept)


def held(db: Session, device: str, first: int, last: int) -> dict[int, str]:
    """The SHA-256 of what stands in each seq of a device's journal from `first` to `last`, taken in or set aside."""

    def within(table: Any, *more: Any) -> Any:
        return select(table.c.seq, table.c.sha256).where(
            table.c.device == device, table.c.seq.between(first, last), *more
        )

    both = union_all(within(_arrival), within(_aside, _aside.c.holds))
    return {seq: sha256 for seq, sha256 in db.connection().execute(both)}  # noqa: C416 - a row is no pair to mypy


def is_chained(db: Session, device: str, below: int) -> bool:
    """Whether the newest event below that seq of a device's journal carries the hash of the one before it."""
    newest = select(_event.c.before).where(_event.c.device == device, _event.c.seq < below)
    return db.connection().execute(newest.order_by(_event.c.seq.desc()).limit(1)).scalar() is not None


def taken_ids(db: Session, ids: Iterable[str]) -> set[str]:
    """Which of these event ids the journal has."""
    wanted = list(ids)
    return set(db.connection().execute(select(_event.c.id).where(_event.c.id.in_(wanted))).scalars())


def last_seq(db: Session, device: str) -> int:
    """The highest seq that is held of a device, whatever is missing below it."""

    def highest(table: Any, *more: Any) -> Any:
        return select(func.max(table.c.seq)).where(table.c.device == device, *more).scalar_subquery()

    both = select(highest(_arrival), highest(_aside, _aside.c.holds))
    return max(number or 0 for number in db.connection().execute(both).one())


def newest(db: Session, job: str) -> int:
    """The number under which the job's newest event was heard of; 0 where it has none."""
    return db.connection().execute(select(func.max(_event.c.server_seq)).where(_event.c.job == job)).scalar() or 0


def lines_of(db: Session, job: str, after: int = 0) -> list[Numbered]:
    """The job's events from any device whose number is greater than `after`, in the order in which they were heard of.

    Nothing with a smaller number can turn up later: a database that lets writers overlap makes this wait for theirs.
    """
    _hold.rows(db.connection(), job=job)
    return [_numbered(row) for row in db.connection().execute(_lines, {"of_job": job, "after": after}).mappings()]


def marks_of(db: Session, job: str, after: int = 0) -> list[Mark]:
    """What a digest is made of, of the events that `lines_of` would return; their texts are read only where they must
    be hashed: those of the server's own.
    """
    _hold.rows(db.connection(), job=job)
    found = [Mark(*row) for row in _marks.rows(db.connection(), of_job=job, after=after)]
    if all(one.sha256 for one in found):
        return found
    return [Mark(one.server_seq, one.device, one.seq, one.sha256) for one in lines_of(db, job, after)]


def _numbered(row: RowMapping) -> Numbered:
    line = row["line"] if row["line"] is not None else as_event(row).as_json()
    sha256 = row["sha256"] or row["was"] or hashlib.sha256(line.encode()).hexdigest()
    return Numbered(row["server_seq"], line, sha256, row["device"], row["seq"])


_Known = tuple[int, tuple[tuple[str, int, str], ...]]
_known: OrderedDict[str, _Known] = OrderedDict()
_door = Lock()


def job_digest(db: Session, job: str) -> tuple[str, int]:
    """The job's digest, and the number of its newest event. Ask it of what is on the disk: not inside a transaction
    that has written to the job, since what was once seen is remembered.
    """
    number, seen = _known.get(job, (0, ()))
    if news := marks_of(db, job, number):
        number = news[-1].server_seq
        seen = tuple(sorted((*seen, *(mark[1:] for mark in news))))
        _remember(job, (number, seen))
    return journal_digest(seen), number


def _remember(job: str, known: _Known) -> None:
    with _door:
        _known[job] = known
        _known.move_to_end(job)
        while len(_known) > MOST_JOBS:
            _known.popitem(last=False)


def forget() -> None:
    """Know nothing any more: another database has taken this one's place."""
    with _door:
        _known.clear()
