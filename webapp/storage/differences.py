"""Where the server decided otherwise than a phone, and where two devices crossed: what a job's pages show of it."""

import json
from collections.abc import Sequence
from typing import Any

from sqlalchemy import insert, select
from sqlmodel import Session

from webapp.core.check import Difference as Found
from webapp.core.crossing import Shown, crossings
from webapp.core.events import Event
from webapp.storage.journal import events_of
from webapp.storage.phone_tables import Difference
from webapp.storage.progress import progress_of

_difference = Difference.__table__  # type: ignore[attr-defined]


def keep(db: Session, found: Sequence[tuple[Event, Found]], now: str) -> None:
    """Keep what was found beside its events, which must be in the journal or come in this transaction before."""
    rows = [
        {
            "event": event.id,
            "job": event.job,
            "what": one.what,
            "phone": json.dumps(one.phone, ensure_ascii=False),
            "server": json.dumps(one.server, ensure_ascii=False),
            "found_at": now,
        }
        for event, one in found
    ]
    if rows:
        db.connection().execute(insert(Difference), rows)


def differences_of(db: Session, job: str) -> list[Shown]:
    """All that whoever opens the job should look at, by the events' places; empty for nearly every job.

    Raises as `progress_of` does.
    """
    events = {event.id: event for _, event in events_of(db, job)}
    rows = db.connection().execute(select(_difference).where(_difference.c.job == job)).mappings()
    shown = [
        Shown(events[row["event"]], row["what"], json.loads(row["phone"]), json.loads(row["server"])) for row in rows
    ]
    if len({event.device for event in events.values()}) > 1:
        sheet = progress_of(db, job).sheet
        shown += [Shown(one.event, one.why, other=one.other) for one in crossings(sheet, events.values())]
    return sorted(shown, key=lambda one: (one.event.place, one.what))


def told(db: Session, job: str) -> list[dict[str, Any]]:
    """Where the server decided otherwise on a job, as a phone keeps it: {"event": id, "what", "phone", "server"}."""
    found = select(_difference).where(_difference.c.job == job).order_by(_difference.c.id)
    rows = db.connection().execute(found).mappings()
    values = ("phone", "server")
    return [
        {"event": row["event"], "what": row["what"]} | {one: json.loads(row[one]) for one in values} for row in rows
    ]


def jobs_with_differences(db: Session) -> set[str]:
    """The jobs where the server decided something otherwise."""
    return set(db.connection().execute(select(_difference.c.job).distinct()).scalars())
