"""How far a job has come: its sheet and the fold of its events, kept in memory between taps.

The memory is a cache only. It is keyed by the place in the journal that it stands for, so a state is never older than
the
transaction that reads it, however many processes serve the shop.
"""

from collections import OrderedDict
from dataclasses import dataclass
from threading import Lock

from sqlmodel import Session

from webapp.core.errors import Conflict
from webapp.core.events import Event
from webapp.core.fold import apply, fold
from webapp.core.sheet import Sheet
from webapp.core.state import JobState
from webapp.storage.journal import events_of
from webapp.storage.sheets import read_sheet
from webapp.storage.tables import Job

MOST_JOBS = 256


@dataclass(frozen=True)
class Progress:
    """A job's sheet and state, and the journal's place up to which the state has been folded."""

    sheet: Sheet
    state: JobState
    server_seq: int

    def after(self, event: Event, server_seq: int) -> "Progress":
        return Progress(self.sheet, apply(self.sheet, self.state, event), server_seq)


_kept: OrderedDict[tuple[str, str], Progress] = OrderedDict()
_door = Lock()


def progress_of(db: Session, job: Job) -> Progress:
    """Fold what has been added since the last time. Raises Conflict (`job-not-started`) for a job without a sheet."""
    if job.sheet is None:
        raise Conflict("job-not-started", "job", f"job='{job.id}' has not been started; open its plan and start it")
    key = (job.id, job.sheet)
    known = _kept.get(key)
    rows = events_of(db, job.id, known.server_seq if known else 0)
    if known and not rows:
        return known
    sheet = known.sheet if known else read_sheet(db, job.sheet)
    state = fold(sheet, (event for _seq, event in rows), known.state if known else None)
    return Progress(sheet, state, rows[-1][0] if rows else 0)


def remember(job_id: str, sheet_hash: str, progress: Progress) -> None:
    """Keep a state for the next tap. Call it only when the transaction that read or wrote it has ended well."""
    with _door:
        _kept[(job_id, sheet_hash)] = progress
        _kept.move_to_end((job_id, sheet_hash))
        while len(_kept) > MOST_JOBS:
            _kept.popitem(last=False)
