"""How long finished jobs took: written when a job is finished, read by the times pages and by planning.

The journal stays the truth. These rows are what the fold says of it, kept so that a page need not fold a year's jobs;
`rebuild` makes them anew.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement, Engine, Executable, RowMapping, bindparam, func, insert
from sqlmodel import Session, col, delete, select

from webapp.core import statistics
from webapp.core.fold import fold
from webapp.core.sheet import Sheet
from webapp.core.state import JobState
from webapp.core.timing import job_times
from webapp.storage import packed
from webapp.storage.engine import session, writing
from webapp.storage.figures import Asked
from webapp.storage.journal import events_of
from webapp.storage.sheets import read_sheet
from webapp.storage.tables import Job, JobTime, StepTime
from webapp.storage.time_tables import PackedTime

_job_time, _step_time = JobTime.__table__, StepTime.__table__  # type: ignore[attr-defined]
_forget = [delete(table).where(table.c.job == bindparam("of_job")) for table in (_job_time, _step_time)]
AT_ONCE = 5000
AT_A_TIME = 20
"""So many jobs are worked out anew in one transaction: half a second."""
RECENT = 60
"""Planning asks the last so many jobs: a shop that has learned is not held to how it began."""


def write_times(db: Session, job: Job, sheet: Sheet, state: JobState) -> None:
    """Keep where the time of a finished job went, in the transaction that finishes it. Written twice it is the same."""
    for forget in _forget:
        db.connection().execute(forget, {"of_job": job.id})
    add_times(db, [(job.id, sheet, state)])


def add_times(db: Session, finished: Iterable[tuple[str, Sheet, JobState]]) -> None:
    """Keep the times of finished jobs that have none yet: of each its id, its sheet and its state."""
    jobs: list[dict[str, Any]] = []
    steps: list[dict[str, Any]] = []
    for one in finished:
        of_job, of_steps = _rows(*one)
        jobs += of_job
        steps += of_steps
    # All rows of a table at once, and not through the ORM: a job has some sixty steps, and its last tap waits for this.
    db.flush()  # the job may have been made in this very transaction
    for table, rows in ((JobTime, jobs), (StepTime, steps)):
        if rows:
            db.connection().execute(insert(table), rows)
    packed.keep(db, jobs, steps)


def _rows(job: str, sheet: Sheet, state: JobState) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """A finished job's rows of the two tables."""
    times = job_times(sheet, state)
    revisions = {section["id"]: section["revision"] for section in sheet["sections"]}
    about: dict[str, Any] = {
        "job": job,
        "finished_at": state.ended_at or "",
        "vehicle": sheet["vehicle"]["id"] if sheet["vehicle"] else None,
        "bay": sheet["job"].get("bay"),
        "person": state.ended_by,
        "placing": state.answers.get("placing") or sheet["job"]["qualifiers"].get("placing"),
        "pauses_s": times.pauses_s,
    }
    jobs = [
        {
            **about,
            "calibration": one.calibration,
            "own_s": one.own_s,
            "shared_s": one.shared_s,
            "waited_s": one.waited_s,
            "outcome": one.outcome,
            "first_time_pass": one.first_time,
            "estimated": one.estimated,
            "revision": revisions[one.calibration],
        }
        for one in times.calibrations
    ]
    steps = [
        {
            "job": job,
            "step": step.step,
            "section": step.section,
            "calibration": step.section if step.own else None,
            "serves": list(step.serves),
            "seconds": step.worked_s,
            "waited_s": step.waited_s,
            "attempts": step.undone + 1,
            "wrong_scans": step.wrong_scans,
            "failures": step.failures,
            "causes": list(step.causes),
            "estimated": step.estimated,
            "revision": revisions[step.section],
        }
        for step in times.steps
    ]
    return jobs, steps


def rebuild(engine: Engine) -> int:
    """Write the times of every finished job anew from the journal; return how many jobs.

    A few at a time, so that nobody who works has to wait: each job's times are whole at every moment.
    """
    with session(engine) as db:
        finished = select(Job.id).where(col(Job.phase) == "finished").order_by(col(Job.id))
        jobs = list(db.exec(finished).all())
    for begin in range(0, len(jobs), AT_A_TIME):
        with writing(engine) as db:
            for job in db.exec(select(Job).where(col(Job.id).in_(jobs[begin : begin + AT_A_TIME]))).all():
                sheet = read_sheet(db, job.sheet or "")
                write_times(db, job, sheet, fold(sheet, [event for _, event in events_of(db, job.id)]))
    return len(jobs)


def times_of(db: Session, asked: Asked, calibration: str | None = None) -> list[JobTime]:
    """Return the rows that are meant, in the order in which the jobs were finished."""
    order = col(JobTime.finished_at), col(JobTime.job), col(JobTime.calibration)
    return list(db.exec(select(JobTime).where(*_meant(asked, calibration)).order_by(*order)).all())


def steps_of(db: Session, asked: Asked, calibration: str | None = None) -> list[StepTime]:
    """Return the step times of the jobs that are meant, by job and step."""
    jobs = select(JobTime.job).where(*_meant(asked, calibration))
    query = select(StepTime).where(col(StepTime.job).in_(jobs)).order_by(col(StepTime.job), col(StepTime.step))
    return list(db.exec(query).all())


@dataclass(frozen=True)
class Named:
    """Which job it is: its id, and what people call it."""

    job: str
    label: str


def named(db: Session, seqs: Iterable[int]) -> dict[int, Named]:
    """Name the jobs of these rows of packed_time: the repair order, or the id where there is none."""
    wanted = col(PackedTime.seq).in_([int(one) for one in seqs])
    query = select(PackedTime.seq, Job.id, Job.repair_order).join(Job, col(Job.id) == PackedTime.job).where(wanted)
    return {seq: Named(job, order or job) for seq, job, order in db.exec(query) if seq is not None}


def rows_of(db: Session, jobs: Sequence[str], calibration: str) -> list[JobTime]:
    """One calibration's row of each of these jobs, in their order."""
    found = select(JobTime).where(col(JobTime.job).in_(jobs), col(JobTime.calibration) == calibration)
    by_job = {row.job: row for row in db.exec(found)}
    return [by_job[job] for job in jobs if job in by_job]


@dataclass(frozen=True)
class StepOfJob:
    """One step's row, with what people call its job, and when that was finished."""

    row: StepTime
    label: str
    finished_at: str


def longest_of(db: Session, asked: Asked, calibration: str, step: str, most: int) -> list[StepOfJob]:
    """The jobs that are meant in which this step took longest, the longest first."""
    query = (
        select(StepTime, Job.repair_order, JobTime.finished_at)
        .join(JobTime, col(JobTime.job) == StepTime.job)
        .join(Job, col(Job.id) == StepTime.job)
        .where(*_meant(asked, calibration), StepTime.step == step)
        .order_by(col(StepTime.seconds).desc(), col(StepTime.job))
        .limit(most)
    )
    return [StepOfJob(row, order or row.job, finished_at) for row, order, finished_at in db.exec(query)]


def repair_orders(db: Session, jobs: Iterable[str]) -> dict[str, str]:
    """Return the repair order of each of these jobs."""
    return dict(db.exec(select(Job.id, Job.repair_order).where(col(Job.id).in_(list(jobs)))).all())


def job_rows(db: Session, asked: Asked, calibration: str | None) -> Iterable[RowMapping]:
    """Every calibration of the jobs that are meant with its repair order, in the order in which they were finished.

    Rows are fetched as they are taken, so the transaction must last until then.
    """
    query = (
        select(*_job_time.c, Job.repair_order)  # type: ignore[call-overload]
        .join(Job, col(Job.id) == _job_time.c.job)
        .where(*_meant(asked, calibration))
        .order_by(_job_time.c.finished_at, _job_time.c.job, _job_time.c.calibration)
    )
    return _fetched(db, query)


def step_rows(db: Session, asked: Asked, calibration: str | None) -> Iterable[RowMapping]:
    """Every step of the jobs that are meant with its repair order, by job and step; fetched as `job_rows` are."""
    jobs = select(JobTime.job).where(*_meant(asked, calibration))
    query = (
        select(*_step_time.c, Job.repair_order)  # type: ignore[call-overload]
        .join(Job, col(Job.id) == _step_time.c.job)
        .where(_step_time.c.job.in_(jobs))
        .order_by(_step_time.c.job, _step_time.c.step)
    )
    return _fetched(db, query)


def _fetched(db: Session, query: Executable) -> Iterator[RowMapping]:
    # Whoever takes them may stop on the way; a server would then keep the rest.
    with db.connection().execute(query, execution_options={"yield_per": AT_ONCE}) as found:
        yield from found.mappings()


ROWS = {"jobs": job_rows, "steps": step_rows}


def _meant(asked: Asked, calibration: str | None) -> list[ColumnElement[bool]]:
    """The conditions on JobTime that say which jobs are meant."""
    equal = (
        (JobTime.calibration, calibration),
        (JobTime.vehicle, asked.vehicle),
        (JobTime.bay, asked.bay),
        (JobTime.person, asked.person),
        (JobTime.placing, asked.placing),
        (JobTime.revision, asked.revision),
    )
    held = [col(column) == value for column, value in equal if value is not None]
    if asked.since:
        held.append(col(JobTime.finished_at) >= asked.since)
    if asked.until:
        held.append(col(JobTime.finished_at) < asked.until)
    return held


def expected(db: Session, procedure: str) -> tuple[float, float, int] | None:
    """Return (median_s, p80_s, n) of one procedure from the shop's own recent jobs; None with fewer than five.

    Of a calibration, its own steps where the scan tool said done; of shared set-up, the whole of it, once a job.
    """
    own = (
        select(JobTime.own_s)
        .where(col(JobTime.calibration) == procedure, col(JobTime.outcome) == "done", ~col(JobTime.estimated))
        .order_by(col(JobTime.finished_at).desc())
        .limit(RECENT)
    )
    found = statistics.summary(list(db.exec(own).all()) or _section_s(db, procedure))
    return None if found is None else (found.median, found.p80, found.n)


def newest(db: Session) -> tuple[str, int]:
    """Something that changes whenever a job's times are written: when the last one was finished, and how many rows."""
    found = db.exec(select(func.max(JobTime.finished_at), func.count())).one()
    return found[0] or "", found[1]


def _section_s(db: Session, section: str) -> list[float]:
    """The time of a shared section in each of the recent jobs that have it, estimated ones left out."""
    of_section = col(StepTime.section) == section, col(StepTime.calibration).is_(None)
    having = select(StepTime.job).where(*of_section)
    recent = select(Job.id).where(col(Job.id).in_(having)).order_by(col(Job.finished_at).desc()).limit(RECENT)
    took: dict[str, float] = {}
    doubtful = set()
    for row in db.exec(select(StepTime).where(*of_section, col(StepTime.job).in_(recent)).order_by(col(StepTime.job))):
        took[row.job] = took.get(row.job, 0.0) + row.seconds
        if row.estimated:
            doubtful.add(row.job)
    return [seconds for job, seconds in took.items() if job not in doubtful]
