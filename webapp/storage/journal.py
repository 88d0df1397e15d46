"""The journal: events are added and read, never changed.

`server_seq` follows the order of insertion. On SQLite that is also the order of commit, since writers go one after
another. A database that lets writers overlap may commit 8 before 7: there, a reader that pages by `after` must lock the
job first, or it can skip a row for good.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from sqlalchemy import Connection, RowMapping, and_, bindparam, exists, func, insert, or_, select
from sqlalchemy.exc import IntegrityError
from sqlmodel import Session

from webapp.core.chain import digest
from webapp.core.errors import Conflict
from webapp.core.events import Event, compact
from webapp.core.kinds.common import Person
from webapp.storage.direct import Direct
from webapp.storage.people import in_order, spelled
from webapp.storage.phone_tables import Device
from webapp.storage.tables import EventRow
from webapp.storage.tables import Person as PersonRow

# Statements of SQLAlchemy's core, made once: an append is what every tap waits for, and the ORM would double its cost.
_event, _person = EventRow.__table__, PersonRow.__table__  # type: ignore[attr-defined]
_device = Device.__table__  # type: ignore[attr-defined]
_add = insert(_event).returning(_event.c.server_seq)
_of_job = (
    select(_event)
    .where(_event.c.job == bindparam("of_job"), _event.c.server_seq > bindparam("after"))
    .order_by(_event.c.server_seq)
)
_last_seq = select(func.max(_event.c.seq)).where(_event.c.device == bindparam("of_device"))
_newest_of = Direct(
    select(_event.c.was, *(_event.c[name] for name in Event.__slots__))
    .where(_event.c.device == bindparam("of_device"))
    .order_by(_event.c.seq.desc())
    .limit(1)
)
_given = [name for name in Event.__slots__ if name != "seq"]
_newest = select(func.coalesce(func.max(_event.c.server_seq), 0)).where(_event.c.job == bindparam("job"))
_vouched = exists().where(
    _person.c.code == bindparam("person"),
    _person.c.role == bindparam("role"),
    _person.c.name == bindparam("name"),
    _person.c.short == bindparam("short"),
    _person.c.levels == bindparam("levels"),
    _person.c.active,
)
_turned_away = exists().where(_device.c.id == bindparam("phone"), _device.c.revoked_at.is_not(None))
_nobody = dict.fromkeys(("role", "name", "short", "levels"))
_add_next = Direct(
    insert(_event)
    .from_select(
        [*_given, "seq"],
        select(*(bindparam(name, type_=_event.c[name].type) for name in [*_given, "seq"])).where(
            _newest.scalar_subquery() == bindparam("newest"),
            or_(bindparam("person").is_(None), and_(_vouched, ~_turned_away)),
        ),
    )
    .returning(_event.c.seq, _event.c.server_seq)
)


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
            placed.append(connection.execute(_add, as_row(event)).scalar_one())
        except IntegrityError as error:
            raise _refused(event, error) from error
    return placed


def append_next(
    connection: Connection, event: Event, newest: int, by: Person | None, phone: str | None = None
) -> tuple[Event, int] | None:
    """Add an event whose seq is still to be given, if all that it was decided on still holds.

    That is: the job's newest event is that of server_seq `newest`; its maker is at work, in that role, so competent,
    and reads the short texts that the answer was drawn with; and the paired `phone`, where it is one, was not turned
    away. Return the event as it was added and its server_seq, or None; then nothing was added. It follows on the newest
    event of its device. Two short statements, since everybody else who writes waits for them.
    """
    who = _nobody
    if by:
        who = {"role": by.role, "name": by.name, "short": spelled(by.short), "levels": in_order(by.levels)}
    event = _linked(connection, event)
    rows = _add_next.rows(connection, **as_row(event), newest=newest, phone=phone, **who)
    return (event, rows[0][1]) if rows else None


def _linked(connection: Connection, event: Event) -> Event:
    """The event behind the newest one of its device, of which it carries the line's hash."""
    if not (found := _newest_of.rows(connection, of_device=event.device)):
        return replace(event, seq=1)
    was, *columns = found[0]
    last = event_from(columns)
    return replace(event, seq=last.seq + 1, before=was or digest(last.as_json()))


def events_of(db: Session, job: str, after: int = 0) -> list[tuple[int, Event]]:
    """Return the job's events whose server_seq is greater than `after`, in order, each with its server_seq."""
    rows = db.connection().execute(_of_job, {"of_job": job, "after": after}).mappings()
    return [(row["server_seq"], as_event(row)) for row in rows]


def next_seq(db: Session, device: str) -> int:
    """Return the seq of the device's next event, from 1. It is the device's only inside a `writing` transaction."""
    return (db.connection().execute(_last_seq, {"of_device": device}).scalar() or 0) + 1


def as_row(event: Event) -> dict[str, Any]:
    """The event as the table has it, without its place there."""
    row: dict[str, Any] = {name: getattr(event, name) for name in Event.__slots__}
    row["data"] = compact(event.data)
    return row


def as_event(row: Mapping[str, Any] | RowMapping) -> Event:
    """A row of the table, as `events_of` and every other question for whole rows get it."""
    return event_from([row[name] for name in Event.__slots__])


def event_from(values: Sequence[Any]) -> Event:
    """The event of these columns, which are in the order of its fields."""
    named = dict(zip(Event.__slots__, values, strict=True))
    return Event(**(named | {"data": json.loads(named["data"])}))


def _refused(event: Event, error: IntegrityError) -> Conflict | IntegrityError:
    if "unique" not in str(error.orig).lower():
        return error  # no such job: a mistake of the caller's, and loud
    what = (
        f"seq={event.seq} of device '{event.device}', or id='{event.id}', is in the journal already; load the page anew"
    )
    return Conflict("event-kept-already", "seq", what)
