"""Packed times: one row a finished job, made of its rows of job_time and step_time, in the same transaction.

Sixty steps a job are six million rows in a large shop, and no page could ask for them one by one. Packed, they are read
by the hundred thousand in a second and added to what a process holds already (`figures`). Whole milliseconds where a
time is one; the parts of a job are fixed records, so that many jobs' parts joined are one array.
"""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import Any

import numpy as np
from sqlalchemy import insert, select
from sqlmodel import Session

from webapp.core.state import PAUSES
from webapp.storage.tables import JobTime, StepTime
from webapp.storage.time_tables import PackedTime, Word

Row = Mapping[str, Any]
_job_time, _step_time = JobTime.__table__, StepTime.__table__  # type: ignore[attr-defined]
_packed_time, _word = PackedTime.__table__, Word.__table__  # type: ignore[attr-defined]

REASONS = (*PAUSES, "finishing")
OUTCOMES = ("done", "failed", "not-run", "left-undone")
NO_WORD = 0
"""Stands where there is none: a job in no bay."""
FIRST_UNKNOWN = 2

HEAD = np.dtype(
    [
        ("finished_ms", "<i8"),
        ("vehicle", "<u2"),
        ("bay", "<u2"),
        ("person", "<u2"),
        ("placing", "<u2"),
        ("pauses_ms", "<u4", (len(REASONS),)),
    ]
)
TYPE = np.dtype(
    [
        ("calibration", "<u2"),
        ("revision", "<u2"),
        ("outcome", "u1"),
        ("first", "u1"),  # 0 no, 1 yes, 2 not known
        ("estimated", "u1"),
        ("own_s", "<f8"),
        ("shared_s", "<f8"),
        ("waited_s", "<f8"),
    ]
)
STEP = np.dtype(
    [
        ("step", "<u2"),
        ("serves", "<u4"),  # a bit for each of the job's types, in their order
        ("own", "u1"),
        ("attempts", "u1"),
        ("failures", "u1"),
        ("wrong", "u1"),
        ("estimated", "u1"),
        ("worked_ms", "<u4"),
        ("waited_ms", "<u4"),
    ]
)
CAUSE = np.dtype([("step", "<u2"), ("cause", "<u2")])
PARTS = ("head", "types", "steps", "causes")
MOST_MS, MOST = 2**32 - 1, 255
TOGETHER = 500


def keep(db: Session, jobs: Iterable[Row], steps: Iterable[Row]) -> None:
    """Add the packed times of finished jobs, given as their rows of job_time and of step_time.

    A job whose times are kept already as they are gets no second row.
    """
    of_job: dict[str, tuple[list[Row], list[Row]]] = {}
    for row in jobs:
        of_job.setdefault(row["job"], ([], []))[0].append(row)
    for row in steps:
        of_job.setdefault(row["job"], ([], []))[1].append(row)
    words = _codes(db, {text for rows in of_job.values() for text in _texts(*rows)})
    before = _newest(db, list(of_job))
    added = []
    for job, rows in of_job.items():
        if not rows[0]:
            continue  # the day's check has no calibration, and so no figure
        parts = _packed(*rows, words)
        was = before.get(job)
        if was is None or was[1] != parts:
            added.append(dict(zip(("job", "replaces", *PARTS), (job, was and was[0], *parts), strict=True)))
    if added:
        db.connection().execute(insert(_packed_time), added)


def keep_all(db: Session) -> None:
    """Pack the times of every job that has some, from its rows, a few hundred jobs at a time."""
    db.flush()
    jobs = [row[0] for row in db.connection().execute(select(_job_time.c.job).distinct().order_by(_job_time.c.job))]
    for begin in range(0, len(jobs), TOGETHER):
        some = jobs[begin : begin + TOGETHER]
        of_jobs = db.connection().execute(select(_job_time).where(_job_time.c.job.in_(some)))
        of_steps = db.connection().execute(select(_step_time).where(_step_time.c.job.in_(some)))
        keep(db, [dict(row) for row in of_jobs.mappings()], [dict(row) for row in of_steps.mappings()])


def _texts(jobs: list[Row], steps: list[Row]) -> Iterable[str]:
    for row in jobs:
        yield from (row[name] for name in ("calibration", "vehicle", "bay", "person", "placing") if row[name])
    for row in steps:
        yield row["step"]
        yield from row["causes"]


def _packed(jobs: list[Row], steps: list[Row], words: Mapping[str, int]) -> tuple[bytes, ...]:
    jobs = sorted(jobs, key=lambda row: str(row["calibration"]))
    place = {row["calibration"]: number for number, row in enumerate(jobs)}
    about = jobs[0]
    head = (
        unix_ms(about["finished_at"]),
        *(words.get(about[name], NO_WORD) for name in ("vehicle", "bay", "person", "placing")),
        [_ms(about["pauses_s"].get(reason, 0.0)) for reason in REASONS],
    )
    types = [
        (
            words[row["calibration"]],
            row["revision"],
            OUTCOMES.index(row["outcome"]),
            FIRST_UNKNOWN if row["first_time_pass"] is None else int(row["first_time_pass"]),
            row["estimated"],
            row["own_s"],
            row["shared_s"],
            row["waited_s"],
        )
        for row in jobs
    ]
    ordered = sorted(steps, key=lambda row: str(row["step"]))
    packed = [
        (
            words[row["step"]],
            sum(1 << place[name] for name in row["serves"] if name in place),
            row["calibration"] is not None,
            *(min(row[name], MOST) for name in ("attempts", "failures", "wrong_scans")),
            row["estimated"],
            _ms(row["seconds"]),
            _ms(row["waited_s"]),
        )
        for row in ordered
    ]
    causes = [(words[row["step"]], words[cause]) for row in ordered for cause in row["causes"]]
    arrays = (np.array([head], HEAD), np.array(types, TYPE), np.array(packed, STEP), np.array(causes, CAUSE))
    return tuple(one.tobytes() for one in arrays)


def unix_ms(at: str) -> int:
    """An instant as the journal writes it, in Unix milliseconds; 0 for none."""
    return round(datetime.fromisoformat(at).timestamp() * 1000) if at else 0


def _ms(seconds: float) -> int:
    return min(round(seconds * 1000), MOST_MS)


def _codes(db: Session, texts: set[str]) -> dict[str, int]:
    """The number of each word; new words get one."""
    known = _known(db, texts)
    new = sorted(texts - known.keys())
    if new:
        db.connection().execute(insert(_word), [{"text": text} for text in new])
        known |= _known(db, set(new))
    return known


def _known(db: Session, texts: set[str]) -> dict[str, int]:
    found = select(_word.c.text, _word.c.code).where(_word.c.text.in_(sorted(texts)))
    return dict(tuple(row) for row in db.connection().execute(found))


def _newest(db: Session, jobs: Sequence[str]) -> dict[str, tuple[int, tuple[bytes, ...]]]:
    """What is kept of these jobs already, by job: the seq and the parts of its newest row."""
    row = _packed_time.c
    found = select(row.job, row.seq, *(row[name] for name in PARTS)).where(row.job.in_(jobs)).order_by(row.seq)
    return {job: (seq, tuple(parts)) for job, seq, *parts in db.connection().execute(found)}
