"""The figures in memory say what the tables say, at once, whatever is asked, and however often a job is written."""

import json
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from sqlalchemy.engine import Engine
from sqlmodel import Session, col, select

from tests.databases import Databases
from webapp.core.fold import fold
from webapp.core.outlook import outlook
from webapp.core.procedure import Library
from webapp.storage import packed
from webapp.storage.engine import session, writing
from webapp.storage.figures import Asked, Figures, figures
from webapp.storage.figures import held as module
from webapp.storage.journal import events_of
from webapp.storage.sheets import read_sheet
from webapp.storage.tables import Job, JobTime, StepTime
from webapp.storage.time_tables import PackedTime
from webapp.storage.times import RECENT, rebuild

from .test_times import CAMERA, RADAR, finish, sheet_for, worked
from .test_years import loaded

JOBS = 320


@pytest.fixture(scope="module")
def years(
    databases: Databases, demo_database: Path, library: Library, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Engine]:
    folder = tmp_path_factory.mktemp("figures")
    with loaded(databases, demo_database, folder, library, JOBS, seed=4, patterns=16) as made:
        yield made


def asked(engine: Engine) -> list[Asked]:
    """Every filter by itself, and some together."""
    with session(engine) as db:
        row = db.exec(select(JobTime).where(JobTime.placing == "tape").order_by(JobTime.finished_at.desc())).first()
    assert row
    return [
        Asked(),
        Asked(vehicle=row.vehicle),
        Asked(bay=row.bay),
        Asked(person=row.person),
        Asked(placing="tape"),
        Asked(revision=2),
        Asked(since=row.finished_at),
        Asked(until=row.finished_at),
        Asked(bay=row.bay, person=row.person, placing="tape"),
        Asked(vehicle="nobody"),
    ]


def meant(row: JobTime, which: Asked) -> bool:
    equal = ("vehicle", "bay", "person", "placing", "revision")
    return (
        all(getattr(which, name) in (None, getattr(row, name)) for name in equal)
        and (which.since is None or row.finished_at >= which.since)
        and (which.until is None or row.finished_at < which.until)
    )


def parts(engine: Engine) -> dict[str, tuple[bytes, ...]]:
    """The newest packed row of each job."""
    with session(engine) as db:
        rows = db.exec(select(PackedTime).order_by(PackedTime.seq)).all()
    return {row.job: tuple(getattr(row, name) for name in packed.PARTS) for row in rows}


def test_every_filter_finds_what_the_rows_say(years: Engine) -> None:
    with session(years) as db:
        known, rows = figures(db), db.exec(select(JobTime).order_by(JobTime.finished_at, JobTime.job)).all()
        steps = db.exec(select(StepTime)).all()
    for which in asked(years):
        found = known.types(which)
        mine = [row for row in rows if meant(row, which)]
        assert set(found) == {row.calibration for row in mine}
        for name, one in found.items():
            of_it = [row for row in mine if row.calibration == name]
            assert sorted(one.own_s.tolist()) == sorted(row.own_s for row in of_it)
            assert sorted(one.shared_s.tolist()) == sorted(row.shared_s for row in of_it)
            assert int(one.counted.sum()) == sum(row.outcome == "done" and not row.estimated for row in of_it)
            assert int((one.first == 1).sum()) == sum(row.first_time_pass is True for row in of_it)
            assert (np.diff(one.finished_ms) >= 0).all()
            sure = {row.job for row in of_it if not row.estimated}
            for step in known.steps(which, name):
                took = [row for row in steps if row.step == step.step and row.job in sure and name in row.serves]
                shares = sorted(row.seconds / len(row.serves) for row in took)
                assert sorted(step.seconds.tolist()) == pytest.approx(shares, rel=1e-6)
                assert step.own is (took[0].calibration == name)


def test_what_happened_beside_the_work_is_counted(years: Engine) -> None:
    with session(years) as db:
        known, steps = figures(db), db.exec(select(StepTime)).all()
    for name in known.calibrations():
        mine = [row for row in steps if name in row.serves]
        beside = known.beside(Asked(), name)
        assert sum(one.again for one in beside) == sum(row.attempts > 1 for row in mine)
        assert sum(one.wrong for one in beside) == sum(row.wrong_scans > 0 for row in mine)
        assert sum(one.failures for one in beside) == sum(row.failures > 0 for row in mine)
        assert sum(float(one.waited_s.sum()) for one in beside) == pytest.approx(sum(row.waited_s for row in mine))
        told = [cause for row in mine if row.calibration == name for cause in row.causes]
        assert known.causes(Asked(), name) == {cause: told.count(cause) for cause in told}


def test_what_is_packed_from_the_rows_and_from_the_journal_is_what_was_packed_at_the_end_of_each_job(
    years: Engine,
) -> None:
    incremental = parts(years)
    assert len(incremental) == JOBS
    with writing(years) as db:
        for row in db.exec(select(PackedTime)).all():
            db.delete(row)
        packed.keep_all(db)
    assert parts(years) == incremental
    with writing(years) as db:
        for row in db.exec(select(PackedTime)).all():
            db.delete(row)
        for row in db.exec(select(JobTime)).all():
            db.delete(row)
    assert rebuild(years) == JOBS
    assert parts(years) == incremental


def test_a_job_is_seen_as_soon_as_it_is_finished_and_counts_once_however_often_it_is_written(engine: Engine) -> None:
    def seen() -> tuple[int, list[float]]:
        with session(engine) as db:
            found = figures(db).types(Asked()).get(CAMERA)
        return (0, []) if found is None else (len(found), found.own_s.tolist())

    assert seen() == (0, [])
    sheet = sheet_for("J-1", [CAMERA, RADAR])
    finish(engine, sheet, worked(sheet, "2025-03-01", own_s=600))
    assert seen() == (1, [600])
    with writing(engine) as db:
        row = db.exec(select(JobTime).where(JobTime.calibration == CAMERA)).one()
        steps = [one.model_dump() for one in db.exec(select(StepTime)).all()]
        other = db.exec(select(JobTime).where(JobTime.calibration == RADAR)).one()
        packed.keep(db, [row.model_dump() | {"own_s": 700.0}, other.model_dump()], steps)
    assert seen() == (1, [700])
    with writing(engine) as db:
        packed.keep(db, [row.model_dump(), other.model_dump()], steps)
        packed.keep(db, [row.model_dump(), other.model_dump()], steps)
        assert len(db.exec(select(PackedTime)).all()) == 3
    assert seen() == (1, [600])


def test_many_looks_between_many_jobs_come_to_the_same_as_one_look(
    engine: Engine, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "MOST_SMALL", 3)
    for number in range(12):
        sheet = sheet_for(f"J-{number}", [CAMERA, RADAR] if number % 2 else [RADAR], bay=f"B{number % 3}")
        finish(engine, sheet, worked(sheet, f"2025-03-{20 - number:02}", own_s=600.0 + number))
        with session(engine) as db:
            known = figures(db)
    assert len(known.parts) <= 4

    def said(held: Figures) -> list[object]:
        types = held.types(Asked())
        steps = sorted((one.step, one.own, sorted(one.seconds.tolist())) for one in held.steps(Asked(), CAMERA))
        return [held.jobs, {name: (one.own_s.tolist(), one.seq.tolist()) for name, one in types.items()}, steps]

    with session(engine) as db:
        assert said(known) == said(module._refreshed(db, Figures()))
        assert len(db.exec(select(Job)).all()) == known.jobs == 12


def read_anew(db: Session) -> Figures:
    """What a process holds that starts now: tests before this one have packed the same jobs twice."""
    return module._refreshed(db, Figures())


def test_whole_times_at_some_steps_are_those_of_the_last_jobs_that_count(years: Engine) -> None:
    with session(years) as db:
        known, steps = read_anew(db), db.exec(select(StepTime)).all()
        counted = db.exec(
            select(JobTime)
            .where(JobTime.calibration == CAMERA, JobTime.outcome == "done", ~col(JobTime.estimated))
            .order_by(JobTime.finished_at)
        ).all()
    own, shared = [f"{CAMERA}/run", f"{CAMERA}/hang-boards", f"{CAMERA}/none-such"], ["vehicle-ready/walk-round"]
    took = {(row.job, row.step): row.seconds for row in steps if not row.estimated}
    found = known.whole(CAMERA, own, 30)
    assert len(found) == 30
    for row, job in zip(found, counted[-30:], strict=True):
        assert row[:2].tolist() == pytest.approx([took[job.job, name] for name in own[:2]], rel=1e-6)
        assert np.isnan(row[2])
    all_of_it = known.whole("vehicle-ready", shared, 10_000)
    assert sorted(all_of_it[:, 0].tolist()) == pytest.approx(
        sorted(seconds for (_job, step), seconds in took.items() if step == shared[0]), rel=1e-6
    )
    assert known.whole("none-such", ["none-such/step"], 9).shape == (0, 1)


def test_what_was_left_of_a_job_lay_where_it_was_foreseen_to_lie(years: Engine) -> None:
    """Each of the last jobs is looked at in its middle; what it then took is in its journal."""
    inside, beyond = [], []
    with session(years) as db:
        known = read_anew(db)
        for job in db.exec(select(Job).order_by(col(Job.finished_at).desc()).limit(80)).all():
            sheet, events = read_sheet(db, job.sheet or ""), [event for _, event in events_of(db, job.id)]
            state = fold(sheet, events[: len(events) // 2])
            assert state.clock
            ahead = outlook(sheet, state, state.clock, lambda section, names: known.whole(section, names, RECENT))
            whole = fold(sheet, events)
            left_s = sum(one.worked_s for one in whole.steps.values()) - sum(
                one.worked_s for one in state.steps.values()
            )
            if not whole.estimated:
                inside.append(ahead.left_s[0] <= left_s <= ahead.left_s[2])
                beyond.append(ahead.slow)
    assert 0.6 <= np.mean(inside) <= 0.95
    assert np.mean(beyond) < 0.2


def told(known: Figures, which: Asked) -> list[object]:
    """Everything that can be asked of the figures about these jobs, by calibration."""
    found: list[object] = [known.choices(), known.jobs, known.recent(40)]
    for name, one in known.types(which).items():
        columns = ("seq", "finished_ms", "own_s", "whole_s", "counted", "first", "revision", "pauses_ms")
        found.append([name, *(getattr(one, column).tolist() for column in columns)])
        found.append(sorted((each.step, each.own, each.seconds.tolist()) for each in known.steps(which, name)))
        found.append(
            [(e.step, e.again, e.failures, e.wrong, sorted(e.waited_s.tolist())) for e in known.beside(which, name)]
        )
        found.append([known.causes(which, name), known.countersigned(which, name)])
        found.append(sorted(known.whole(name, [f"{CAMERA}/hang-boards"], 10_000).ravel().tolist(), key=repr))
    found.append(sorted(known.whole("vehicle-ready", ["vehicle-ready/walk-round"], 10_000).ravel().tolist()))
    return [json.dumps(one, default=str) for one in found]


@pytest.mark.parametrize(("at_once", "small"), [(50, 10), (50, 51)])
def test_many_parts_say_what_one_part_says_whether_they_are_put_together_or_not(
    years: Engine, monkeypatch: pytest.MonkeyPatch, at_once: int, small: int
) -> None:
    with session(years) as db:
        whole = read_anew(db)
        monkeypatch.setattr(module, "AT_ONCE", at_once)
        monkeypatch.setattr(module, "SMALL", small)
        many = read_anew(db)
    assert (len(whole.parts), len(many.parts) > 3) == (1, at_once < small)
    for which in asked(years):
        assert told(many, which) == told(whole, which)
