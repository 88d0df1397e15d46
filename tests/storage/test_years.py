"""A history of years is made of jobs whose journals fold to their times, and has in it what a manager should find."""

import json
from collections import Counter, defaultdict
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from statistics import median

import pytest
from sqlalchemy.engine import Engine
from sqlmodel import select

from tests.databases import Databases
from webapp.core.fold import fold
from webapp.core.procedure import Library
from webapp.core.timing import job_times
from webapp.storage import years
from webapp.storage.engine import session
from webapp.storage.history import MOST_REHEARSED, load_history
from webapp.storage.journal import events_of
from webapp.storage.sheets import read_sheet
from webapp.storage.tables import Job, JobTime, Person, StepTime
from webapp.storage.times import rebuild

UNTIL = datetime(2026, 3, 6, 17, tzinfo=UTC)
JOBS = 600


@contextmanager
def loaded(
    databases: Databases, database: Path, folder: Path, library: Library, jobs: int, seed: int, patterns: int
) -> Iterator[Engine]:
    """A copy of the database with so many finished jobs."""
    with databases.lent(database, folder) as made:
        with pytest.MonkeyPatch.context() as patched:
            patched.setattr(years, "PATTERNS", patterns)  # going through them is what takes the time
            assert load_history(made, library, folder / "photos", jobs=jobs, seed=seed, until=UNTIL) == jobs
        yield made


@pytest.fixture(scope="module")
def shop(
    databases: Databases, demo_database: Path, library: Library, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Engine]:
    folder = tmp_path_factory.mktemp("years")
    with loaded(databases, demo_database, folder, library, JOBS, seed=3, patterns=45) as made:
        yield made


def rows(engine: Engine) -> list[str]:
    with session(engine) as db:
        jobs = db.exec(select(JobTime).order_by(JobTime.job, JobTime.calibration)).all()
        steps = db.exec(select(StepTime).order_by(StepTime.job, StepTime.step)).all()
        return [json.dumps(row.model_dump(), sort_keys=True) for row in [*jobs, *steps]]


def test_every_journal_folds_to_the_jobs_times_and_they_add_up(shop: Engine) -> None:
    before = rows(shop)
    with session(shop) as db:
        for job in db.exec(select(Job).limit(60)).all():
            sheet, events = read_sheet(db, job.sheet or ""), [event for _, event in events_of(db, job.id)]
            state = fold(sheet, events)
            times = job_times(sheet, state)
            span = datetime.fromisoformat(events[-1].at) - datetime.fromisoformat(events[0].at)
            told = times.worked_s + times.waited_s + sum(times.pauses_s.values())
            assert told == pytest.approx(span.total_seconds(), abs=0.001 * len(events))
            assert (state.phase, job.finished_at) == ("finished", events[-1].at)
            assert [event.seq for event in events] == list(range(events[0].seq, events[0].seq + len(events)))
    assert rebuild(shop) == JOBS
    assert rows(shop) == before


def test_it_lies_on_working_days_of_more_than_a_year(shop: Engine) -> None:
    with session(shop) as db:
        begun = [datetime.fromisoformat(job.started_at or "") for job in db.exec(select(Job)).all()]
    assert len(begun) == JOBS
    assert all(moment.weekday() < 5 for moment in begun)
    assert (max(begun) - min(begun)).days > 365
    assert max(begun) <= UNTIL
    assert {moment.hour < 12 for moment in begun} == {True, False}


def test_what_a_manager_should_find_is_in_it(shop: Engine) -> None:
    with session(shop) as db:
        times = db.exec(select(JobTime).order_by(JobTime.finished_at)).all()
        roles = Counter(person.role for person in db.exec(select(Person)).all())
    assert {row.outcome for row in times} >= {"done", "not-run"}
    assert len({row.bay for row in times}) == 3
    assert len({row.placing for row in times}) > 2
    assert len({row.person for row in times}) >= 2
    assert roles["technician"] >= 1
    assert any(row.estimated for row in times)
    assert {reason for row in times for reason in row.pauses_s} > {"finishing", "parts"}
    by_revision = defaultdict(list)
    for row in times:
        if row.calibration == years.REVISED and row.outcome == "done":
            by_revision[row.revision].append(row.own_s)
    old, new = (median(by_revision[one]) for one in sorted(by_revision))
    assert new < 0.95 * old


def test_while_a_target_is_out_of_true_its_calibration_fails_more_often(shop: Engine) -> None:
    with session(shop) as db:
        jobs = [job.id for job in db.exec(select(Job).order_by(Job.started_at)).all()]
        times = db.exec(select(JobTime).where(JobTime.calibration == years.OUT_OF_TRUE)).all()
    place = {name: number / len(jobs) for number, name in enumerate(jobs)}
    failed: dict[bool, list[bool]] = {True: [], False: []}
    for row in times:
        if row.first_time_pass is not None:
            failed[years.OUT_FROM <= place[row.job] < years.OUT_TO].append(not row.first_time_pass)
    assert sum(failed[True]) / len(failed[True]) > 2 * sum(failed[False]) / len(failed[False])


def test_the_same_seed_makes_the_same_years(
    databases: Databases, demo_database: Path, library: Library, tmp_path: Path
) -> None:
    found = []
    for name, seed in (("one", 5), ("two", 5), ("three", 6)):
        folder, jobs = tmp_path / name, MOST_REHEARSED + 1
        with loaded(databases, demo_database, folder, library, jobs, seed, patterns=6) as made:
            found.append(rows(made))
    assert found[0] == found[1]
    assert found[0] != found[2]
