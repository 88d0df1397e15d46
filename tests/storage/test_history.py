"""The demo shop's history is made of real jobs: the journal, the fold and the times agree about every one."""

from collections import Counter
from datetime import UTC, datetime
from pathlib import Path
from statistics import median

import pytest
from sqlalchemy.engine import Engine
from sqlmodel import select

from tests.databases import Databases
from webapp.config import Settings
from webapp.core.fold import fold, step_of
from webapp.core.freeze import make_sheet
from webapp.core.plan import propose
from webapp.core.procedure import Library
from webapp.core.sheet import content_hash
from webapp.core.timing import job_times
from webapp.messages import say
from webapp.storage import attachments
from webapp.storage.engine import session
from webapp.storage.history import begin_one, load_history
from webapp.storage.journal import events_of
from webapp.storage.sheets import read_sheet
from webapp.storage.tables import Attachment, Job, JobTime, StepTime
from webapp.storage.times import expected, rebuild

UNTIL = datetime(2026, 3, 6, 17, tzinfo=UTC)


def rows(engine: Engine) -> list[tuple[object, ...]]:
    with session(engine) as db:
        jobs = db.exec(select(JobTime).order_by(JobTime.job, JobTime.calibration)).all()
        steps = db.exec(select(StepTime).order_by(StepTime.job, StepTime.step)).all()
        return [tuple(sorted(row.model_dump(exclude={"serves", "pauses_s"}).items())) for row in [*jobs, *steps]]


def test_every_job_was_gone_through_from_start_to_finish(history_engine: Engine) -> None:
    with session(history_engine) as db:
        jobs = db.exec(select(Job)).all()
        assert len(jobs) == 40
        for job in jobs:
            sheet, events = read_sheet(db, job.sheet or ""), [event for _, event in events_of(db, job.id)]
            state = fold(sheet, events)
            assert (state.phase, state.current, job.phase) == ("finished", None, "finished")
            assert (job.started_at, job.finished_at) == (events[0].at, events[-1].at)
            assert sheet["job"]["id"] == job.id
            times = job_times(sheet, state)
            span = datetime.fromisoformat(events[-1].at) - datetime.fromisoformat(events[0].at)
            told = times.worked_s + times.waited_s + sum(times.pauses_s.values())
            assert told == pytest.approx(span.total_seconds(), abs=0.5)


def test_every_sheet_is_what_planning_that_visit_makes(history_engine: Engine, library: Library) -> None:
    with session(history_engine) as db:
        for job in db.exec(select(Job)).all():
            sheet = read_sheet(db, job.sheet or "")
            vehicle = library.vehicles[job.vehicle or ""]
            planned = make_sheet(library, sheet["job"], vehicle, propose(library, vehicle, job.reasons), {}, say)
            assert content_hash(planned) == job.sheet


def test_the_times_are_those_of_the_journal(history_engine: Engine) -> None:
    before = rows(history_engine)
    assert rebuild(history_engine) == 40
    assert rows(history_engine) == before


def test_what_can_go_wrong_has_gone_wrong_somewhere(history_engine: Engine) -> None:
    with session(history_engine) as db:
        times = db.exec(select(JobTime)).all()
        kinds = Counter(event.kind for job in db.exec(select(Job)).all() for _, event in events_of(db, job.id))
        assert {row.outcome for row in times} == {"done", "not-run"}
        assert sum(row.first_time_pass is False for row in times) >= 2
        assert {job.id for job in db.exec(select(Job)).all()} == {row.job for row in times}
        assert len({row.job for row in times if row.estimated}) == 2
        for kind in ("paused", "undone", "troubled", "left-undone", "countersigned", "scanned", "measured", "resulted"):
            assert kinds[kind], kind


def test_it_is_believable(history_engine: Engine) -> None:
    with session(history_engine) as db:
        for name in ("forward-camera-static", "forward-radar-static", "surround-view"):
            own = [row.own_s for row in db.exec(select(JobTime).where(JobTime.calibration == name)).all()]
            assert len(own) >= 12
            assert 15 * 60 < median(own) < 90 * 60
            found = expected(db, name)
            assert found is not None
            assert found[0] < found[1]
        at = [datetime.fromisoformat(job.started_at or "") for job in db.exec(select(Job)).all()]
        assert all(moment.weekday() < 5 and 8 <= moment.hour < 15 for moment in at)
        assert max(job.finished_at or "" for job in db.exec(select(Job)).all()) <= "2026-03-06T17"


def test_its_photos_are_there_and_named_by_their_events(history_engine: Engine, shop: Settings) -> None:
    with session(history_engine) as db:
        kept = db.exec(select(Attachment)).all()
        named = [
            event.data["sha256"]
            for job in db.exec(select(Job)).all()
            for _, event in events_of(db, job.id)
            if event.kind == "photographed"
        ]
    assert sorted(photo.sha256 for photo in kept) == sorted(named)
    assert named
    for name in set(named):
        assert attachments.photo_path(shop.photos, name).read_bytes().startswith(b"\xff\xd8")


def test_the_same_seed_makes_the_same_history_and_another_seed_another(
    databases: Databases, demo_database: Path, library: Library, tmp_path: Path
) -> None:
    def history(name: str, seed: int) -> list[tuple[object, ...]]:
        with databases.lent(demo_database, tmp_path / name) as made:
            load_history(made, library, tmp_path / "photos", jobs=3, seed=seed, until=UNTIL)
            return rows(made)

    first = history("one", 7)
    assert history("two", 7) == first
    assert history("three", 8) != first


def test_no_jobs_are_no_trouble(demo_engine: Engine, library: Library, shop: Settings) -> None:
    assert load_history(demo_engine, library, shop.photos, jobs=0) == 0


def test_one_more_job_is_in_hand_where_its_first_target_is_to_be_hung(
    history_engine: Engine, shop: Settings, library: Library
) -> None:
    assert begin_one(history_engine, library, shop.photos, 40, UNTIL)
    with session(history_engine) as db:
        (job,) = db.exec(select(Job).where(Job.phase == "open")).all()
        sheet, events = read_sheet(db, job.sheet or ""), [event for _, event in events_of(db, job.id)]
        state = fold(sheet, events)
        step = step_of(sheet, state.current or "")
        assert step is not None
        assert step["pairs"][0]["spot"]
        assert (state.phase, state.paused, job.repair_order) == ("open", "customer", "RO-20440")
        assert job.started_at == events[0].at < events[-1].at < "2026-03-06T17:00:00.000Z"
        assert not db.exec(select(JobTime).where(JobTime.job == job.id)).all()
