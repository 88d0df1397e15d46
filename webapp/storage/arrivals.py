"""What phones have brought, in their own bytes: kept beside the journal's rows, hashed, and given to other phones.

A job's digest lets two sides see that they hold the same events: the SHA-256 over a line `DEVICE SEQ SHA256` and a line
feed for each event, sorted by device and seq. An event of the server's own has the bytes of its line in a journal file.
"""

import hashlib
from collections import OrderedDict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from threading import Lock
from typing import Any

from sqlalchemy import RowMapping, bindparam, func, insert, select, union_all
from sqlmodel import Session

from webapp.core.events import Event, compact
from webapp.core.evidence import journal_digest
from webapp.storage.journal import as_event
from webapp.storage.phone_tables import Arrival, Aside
from webapp.storage.tables import EventRow, Job

MOST_JOBS = 256


@dataclass(frozen=True, slots=True)
class Line:
    """An event as its phone wrote it: the text, its SHA-256 in hexadecimal, and what the text says."""

    event: Event
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


_event, _arrival = EventRow.__table__, Arrival.__table__  # type: ignore[attr-defined]
_aside, _job = Aside.__table__, Job.__table__  # type: ignore[attr-defined]
_add_event, _add_arrival = insert(_event), insert(_arrival)
_both = (_arrival.c.device == _event.c.device) & (_arrival.c.seq == _event.c.seq)
_of_job = (
    select(_event, _arrival.c.line, _arrival.c.sha256)
    .join_from(_event, _arrival, _both, isouter=True)
    .where(_event.c.job == bindparam("of_job"), _event.c.server_seq > bindparam("after"))
    .order_by(_event.c.server_seq)
)


def keep(db: Session, batch: int, lines: Sequence[Line]) -> None:
    """Add the events to the journal, and their bytes beside it, inside the session's transaction.

    The caller has seen to it that neither their ids nor their places in their device's journal are taken.
    """
    if not lines:
        return
    connection = db.connection()
    connection.execute(_add_event, [_as_row(line.event) for line in lines])
    kept = [
        {"device": one.event.device, "seq": one.event.seq, "batch": batch, "sha256": one.sha256, "line": one.text}
        for one in lines
    ]
    connection.execute(_add_arrival, kept)


def _as_row(event: Event) -> dict[str, Any]:
    row: dict[str, Any] = {name: getattr(event, name) for name in Event.__slots__}
    row["data"] = compact(event.data)
    return row


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
    # A writer's event holds its job's row by its foreign key until the commit. SQLite has one writer, and no such lock.
    db.connection().execute(select(_job.c.id).where(_job.c.id == job).with_for_update())
    return [_numbered(row) for row in db.connection().execute(_of_job, {"of_job": job, "after": after}).mappings()]


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
    if news := lines_of(db, job, number):
        number = news[-1].server_seq
        seen = tuple(sorted((*seen, *((one.device, one.seq, one.sha256) for one in news))))
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
