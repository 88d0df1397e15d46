"""How far a job has come: its sheet and the fold of its events, kept in memory between taps.

The memory is a cache only. What it holds is named by the sheet and by the place in the journal that it stands for, so a
state is never older than the transaction that reads it, however many processes serve the shop.
"""

from collections import OrderedDict
from dataclasses import dataclass
from threading import Lock

from sqlalchemy import bindparam, select
from sqlmodel import Session

from webapp.core.errors import Conflict
from webapp.core.events import Event, Place, next_round
from webapp.core.fold import apply, fold
from webapp.core.sheet import Sheet
from webapp.core.state import JobState
from webapp.storage.direct import Direct
from webapp.storage.jobs import unknown
from webapp.storage.journal import event_from
from webapp.storage.sheets import read_sheet
from webapp.storage.tables import EventRow, Job

MOST_JOBS = 256

# One question for what every tap has to know: that the job is there, what its sheet is, and what is new in its journal.
_job, _event = Job.__table__, EventRow.__table__  # type: ignore[attr-defined]
_news = Direct(
    select(_job.c.sheet, _event.c.server_seq, *(_event.c[name] for name in Event.__slots__))
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

    def after(self, event: Event, server_seq: int, state: JobState | None = None) -> "Progress":
        """The same with one more event, which stands behind all others; `state` where that has been folded already."""
        state = state or apply(self.sheet, self.state, event)
        devices = self.devices if event.device in self.devices else self.devices | {event.device}
        return Progress(self.sheet_hash, self.sheet, state, server_seq, event.place, devices)

    def round_of(self, device: str) -> int:
        """The round of this device's next event."""
        return next_round(self.last, device)


_kept: OrderedDict[str, Progress] = OrderedDict()
_door = Lock()


def recall(job_id: str) -> Progress | None:
    """How far the job had come when it was last looked at. Only for what is checked again when it is written."""
    return _kept.get(job_id)


def progress_of(db: Session, job_id: str) -> Progress:
    """Fold what has been added since the last time.

    Raises NotFound (`job-unknown`), or Conflict (`job-not-started`) for a job without a sheet.
    """
    known = _kept.get(job_id)
    sheet_hash, news = _read(db, job_id, known.server_seq if known else 0)
    if known and (known.sheet_hash != sheet_hash or _overtakes(news, known.last)):
        known, (sheet_hash, news) = None, _read(db, job_id, 0)
    if known and not news:
        return known
    sheet = known.sheet if known else read_sheet(db, sheet_hash)
    state = fold(sheet, (event for _, event in news), known.state if known else None)
    places = [event.place for _, event in news] + ([known.last] if known and known.last else [])
    devices = frozenset(event.device for _, event in news) | (known.devices if known else frozenset())
    return Progress(sheet_hash, sheet, state, news[-1][0] if news else 0, max(places, default=None), devices)


def _overtakes(news: list[tuple[int, Event]], last: Place | None) -> bool:
    """Whether a phone was away and now brings what stands before something that is folded already."""
    return last is not None and any(event.place < last for _, event in news)


def _read(db: Session, job_id: str, after: int) -> tuple[str, list[tuple[int, Event]]]:
    """The name of the job's sheet, and its events after that place, each with its server_seq."""
    rows = _news.rows(db.connection(), of_job=job_id, after=after)
    if not rows:
        raise unknown(job_id)
    sheet_hash = rows[0][0]
    if sheet_hash is None:
        raise Conflict("job-not-started", "job", f"job='{job_id}' has not been started; open its plan and start it")
    return sheet_hash, [(row[1], event_from(row[2:])) for row in rows if row[1] is not None]


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
