"""How far a job has come: its sheet and the fold of its events, kept in memory between taps.

The memory is a cache only. What it holds is named by the sheet and by the place in the journal that it stands for, so a
state is never older than the transaction that reads it, however many processes serve the shop.
"""

from collections import OrderedDict
from dataclasses import dataclass
from threading import Lock

from sqlalchemy import RowMapping, bindparam, select
from sqlmodel import Session

from webapp.core.errors import Conflict
from webapp.core.events import Event, Place, next_round
from webapp.core.fold import apply, fold
from webapp.core.sheet import Sheet
from webapp.core.state import JobState
from webapp.storage.jobs import unknown
from webapp.storage.journal import as_event
from webapp.storage.sheets import read_sheet
from webapp.storage.tables import EventRow, Job

MOST_JOBS = 256

# One question for what every tap has to know: that the job is there, what its sheet is, and what is new in its journal.
_job, _event = Job.__table__, EventRow.__table__  # type: ignore[attr-defined]
_news = (
    select(_job.c.sheet, _event)
    .join_from(_job, _event, (_event.c.job == _job.c.id) & (_event.c.server_seq > bindparam("after")), isouter=True)
    .where(_job.c.id == bindparam("of_job"))
    .order_by(_event.c.server_seq)
)


@dataclass(frozen=True)
class Progress:
    """A job's sheet with its name, the state, and how far in the journal the state has been folded.

    `server_seq` is that of the newest event heard of, `last` the place of the one that stands last; `devices` are those
    whose events are in it.
    """

    sheet_hash: str
    sheet: Sheet
    state: JobState
    server_seq: int
    last: Place | None
    devices: frozenset[str] = frozenset()

    def after(self, event: Event, server_seq: int) -> "Progress":
        """The same with one more event, which stands behind all others."""
        state = apply(self.sheet, self.state, event)
        devices = self.devices if event.device in self.devices else self.devices | {event.device}
        return Progress(self.sheet_hash, self.sheet, state, server_seq, event.place, devices)

    def round_of(self, device: str) -> int:
        """The round of this device's next event."""
        return next_round(self.last, device)


_kept: OrderedDict[str, Progress] = OrderedDict()
_door = Lock()


def progress_of(db: Session, job_id: str) -> Progress:
    """Fold what has been added since the last time.

    Raises NotFound (`job-unknown`), or Conflict (`job-not-started`) for a job without a sheet.
    """
    known = _kept.get(job_id)
    sheet_hash, rows = _read(db, job_id, known.server_seq if known else 0)
    events = [as_event(row) for row in rows]
    if known and (known.sheet_hash != sheet_hash or _overtakes(events, known.last)):
        known, (sheet_hash, rows) = None, _read(db, job_id, 0)
        events = [as_event(row) for row in rows]
    if known and not rows:
        return known
    sheet = known.sheet if known else read_sheet(db, sheet_hash)
    state = fold(sheet, events, known.state if known else None)
    places = [event.place for event in events] + ([known.last] if known and known.last else [])
    newest = rows[-1]["server_seq"] if rows else 0
    devices = frozenset(event.device for event in events) | (known.devices if known else frozenset())
    return Progress(sheet_hash, sheet, state, newest, max(places, default=None), devices)


def _overtakes(events: list[Event], last: Place | None) -> bool:
    """Whether a phone was away and now brings what stands before something that is folded already."""
    return last is not None and any(event.place < last for event in events)


def _read(db: Session, job_id: str, after: int) -> tuple[str, list[RowMapping]]:
    """The name of the job's sheet, and its events after that place."""
    rows = list(db.connection().execute(_news, {"of_job": job_id, "after": after}).mappings())
    if not rows:
        raise unknown(job_id)
    if rows[0]["sheet"] is None:
        raise Conflict("job-not-started", "job", f"job='{job_id}' has not been started; open its plan and start it")
    return rows[0]["sheet"], [row for row in rows if row["server_seq"] is not None]


def forget() -> None:
    """Know nothing any more: another database has taken this one's place."""
    with _door:
        _kept.clear()


def remember(job_id: str, progress: Progress) -> None:
    """Keep a state for the next tap. Call it only when the transaction that read or wrote it has ended well."""
    with _door:
        _kept[job_id] = progress
        _kept.move_to_end(job_id)
        while len(_kept) > MOST_JOBS:
            _kept.popitem(last=False)
