"""The journal: events are added and read, never changed.

`server_seq` follows the order of insertion. On SQLite that is also the order of commit, since writers go one after
another. A database that lets writers overlap may commit 8 before 7: there, a reader that pages by `after` must lock the
job first, or it can skip a row for good.
"""

import json
from collections.abc import Sequence
from typing import Any

from sqlalchemy import RowMapping, bindparam, func, insert, select
from sqlalchemy.exc import IntegrityError
from sqlmodel import Session

from webapp.core.errors import Conflict
from webapp.core.events import Event
from webapp.storage.tables import EventRow

# Statements of SQLAlchemy's core, made once: an append is what every tap waits for, and the ORM would double its cost.
_event = EventRow.__table__  # type: ignore[attr-defined]
_add = insert(_event).returning(_event.c.server_seq)
_of_job = (
    select(_event)
    .where(_event.c.job == bindparam("of_job"), _event.c.server_seq > bindparam("after"))
    .order_by(_event.c.server_seq)
)
_last_seq = select(func.max(_event.c.seq)).where(_event.c.device == bindparam("of_device"))


def append(db: Session, events: Sequence[Event]) -> list[int]:
    """Add events in this order, inside the session's transaction; they are kept once that is. Return their server_seq.

    Raises Conflict (`event-kept-already`) where an event's id, or its device and seq, is in the journal already.
    """
    if not events:
        return []
    db.flush()  # the job may have been made in this very transaction
    connection = db.connection()
    placed = []
    for event in events:
        try:
            placed.append(connection.execute(_add, _as_row(event)).scalar_one())
        except IntegrityError as error:
            raise _refused(event, error) from error
    return placed


def events_of(db: Session, job: str, after: int = 0) -> list[tuple[int, Event]]:
    """Return the job's events whose server_seq is greater than `after`, in order, each with its server_seq."""
    rows = db.connection().execute(_of_job, {"of_job": job, "after": after}).mappings()
    return [(row["server_seq"], as_event(row)) for row in rows]


def next_seq(db: Session, device: str) -> int:
    """Return the seq of the device's next event, from 1. It is the device's only inside a `writing` transaction."""
    return (db.connection().execute(_last_seq, {"of_device": device}).scalar() or 0) + 1


def _as_row(event: Event) -> dict[str, Any]:
    row: dict[str, Any] = {name: getattr(event, name) for name in Event.__slots__}
    row["data"] = json.dumps(event.data, ensure_ascii=False, separators=(",", ":"))
    return row


def as_event(row: RowMapping) -> Event:
    """A row of the table, as `events_of` and every other question for whole rows get it."""
    named: dict[str, Any] = {name: row[name] for name in Event.__slots__}
    named["data"] = json.loads(named["data"])
    return Event(**named)


def _refused(event: Event, error: IntegrityError) -> Conflict | IntegrityError:
    if "unique" not in str(error.orig).lower():
        return error  # no such job: a mistake of the caller's, and loud
    what = (
        f"seq={event.seq} of device '{event.device}', or id='{event.id}', is in the journal already; load the page anew"
    )
    return Conflict("event-kept-already", "seq", what)
