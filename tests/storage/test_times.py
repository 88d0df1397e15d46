"""Times are kept when a job is finished, made anew from the journal, and asked for by the pages and by planning."""

from dataclasses import replace
from typing import Any

import pytest
from sqlalchemy.engine import Engine
from sqlmodel import select

from webapp.core.events import Event, new_id
from webapp.core.fold import fold
from webapp.storage.engine import session, writing
from webapp.storage.figures import Asked, figures
from webapp.storage.journal import append, events_of
from webapp.storage.sheets import keep_sheet
from webapp.storage.tables import Job, JobTime, StepTime
from webapp.storage.times import expected, rebuild, repair_orders, steps_of, times_of, write_times

CAMERA, RADAR = "forward-camera-static", "forward-radar-static"


def step(name: str, kind: str = "confirm", **more: Any) -> dict[str, Any]:
    return {"id": name, "section": name.split("/")[0], "kind": kind, "do": name, "only_if": {}, "hold": "none"} | more


def sheet_for(job: str, calibrations: list[str], bay: str | None = None, revision: int = 1) -> dict[str, Any]:
    """A small sheet: one shared step, then how each target is placed and what the scan tool says."""
    asks = {"asks": "placing", "options": [{"value": "tape", "blocks": None}, {"value": "frame", "blocks": None}]}
    shared = {"id": "vehicle-ready", "title": "Vehicle ready", "sort": "set-up", "revision": 3}
    return {
        "job": {"id": job, "sort": "calibration", "qualifiers": {}, "bay": bay},
        "vehicle": {"id": "orvane-wagon"},
        "calibrations": [{"id": name} for name in calibrations],
        "sections": [
            shared | {"calibrations": calibrations},
            *(
                {"id": name, "title": name, "sort": "calibration", "revision": revision, "calibrations": [name]}
                for name in calibrations
            ),
        ],
        "steps": [
            step("vehicle-ready/tyres"),
            *(
                one
                for name in calibrations
                for one in (step(f"{name}/how", "choose", **asks), step(f"{name}/result", "result"))
            ),
        ],
    }


def worked(
    sheet: dict[str, Any],
    day: str,
    own_s: float = 600.0,
    shared_s: float = 300.0,
    outcomes: tuple[str, ...] = ("done",),
    boot_lost: bool = False,
    placing: str = "tape",
) -> list[Event]:
    """The events of one job: the shared step, then on each calibration `own_s`, the last ten seconds at the result."""
    clock, events = 0.0, []

    def told(kind: str, name: str | None, after_s: float, **data: Any) -> None:
        nonlocal clock
        clock += after_s
        boot = "second" if boot_lost and kind == "confirmed" else "first"
        minute, second = divmod(int(clock), 60)
        events.append(
            Event(
                id=new_id(1_700_000_000_000),
                job=sheet["job"]["id"],
                device=f"phone-{sheet['job']['id']}",
                seq=len(events) + 1,
                kind=kind,
                step=name,
                attempt=1,
                turn=0,
                at=f"{day}T09:{minute:02}:{second:02}.000Z",
                mono_s=clock,
                boot=boot,
                person="DA4KV7",
                data=data,
            )
        )

    told("started", None, 0, sheet="")
    told("confirmed", "vehicle-ready/tyres", shared_s)
    for one in sheet["calibrations"]:
        told("chosen", f"{one['id']}/how", own_s - 10, option=placing)
        for outcome in outcomes:
            told("resulted", f"{one['id']}/result", 10 / len(outcomes), outcome=outcome)
    told("finished", None, 0, open=[])
    return events


def finish(engine: Engine, sheet: dict[str, Any], events: list[Event]) -> None:
    with writing(engine) as db:
        job = Job(
            id=sheet["job"]["id"],
            sort="calibration",
            phase="finished",
            created_at=events[0].at,
            finished_at=events[-1].at,
            repair_order=f"RO-{sheet['job']['id']}",
            sheet=keep_sheet(db, sheet),
            bay=None,
        )
        db.add(job)
        append(db, events)
        write_times(db, job, sheet, fold(sheet, events))


def everything(engine: Engine) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    with session(engine) as db:
        jobs = [row.model_dump() for row in db.exec(select(JobTime).order_by(JobTime.job, JobTime.calibration))]
        steps = [row.model_dump() for row in db.exec(select(StepTime).order_by(StepTime.job, StepTime.step))]
    return jobs, steps


@pytest.fixture
def shop_with_six(engine: Engine) -> Engine:
    """Six jobs on as many days, the last two with both calibrations; camera times 600, 660, ... 900 s."""
    for number in range(6):
        name = f"J-{number + 1}"
        sheet = sheet_for(name, [CAMERA, RADAR] if number >= 4 else [CAMERA], revision=2 if number >= 3 else 1)
        finish(engine, sheet, worked(sheet, f"2025-03-{number + 1:02}", own_s=600.0 + 60 * number))
    return engine


def test_a_finished_job_keeps_what_each_calibration_and_each_step_took(engine: Engine) -> None:
    sheet = sheet_for("J-1", [CAMERA, RADAR])
    finish(engine, sheet, worked(sheet, "2025-03-04", outcomes=("failed", "done")))
    with session(engine) as db:
        camera, radar = times_of(db, Asked())
        assert (camera.calibration, radar.calibration) == (CAMERA, RADAR)
        assert (camera.own_s, camera.shared_s, camera.waited_s) == (600, 150, 0)
        assert (camera.outcome, camera.first_time_pass, camera.estimated) == ("done", False, False)
        assert (camera.vehicle, camera.placing, camera.person) == ("orvane-wagon", "tape", "DA4KV7")
        assert camera.finished_at == "2025-03-04T09:25:00.000Z"
        steps = {one.step: one for one in steps_of(db, Asked())}
        assert steps["vehicle-ready/tyres"].serves == [CAMERA, RADAR]
        assert (steps["vehicle-ready/tyres"].calibration, steps["vehicle-ready/tyres"].revision) == (None, 3)
        assert (steps[f"{CAMERA}/how"].calibration, steps[f"{CAMERA}/how"].seconds) == (CAMERA, 590)


def test_the_rows_add_up_to_what_the_fold_says_of_the_journal(shop_with_six: Engine) -> None:
    with session(shop_with_six) as db:
        for job in db.exec(select(Job)).all():
            sheet = sheet_for(job.id, [row.calibration for row in times_of(db, Asked()) if row.job == job.id])
            state = fold(sheet, [event for _, event in events_of(db, job.id)])
            rows = [row for row in times_of(db, Asked()) if row.job == job.id]
            worked_s = sum(one.worked_s for one in state.steps.values())
            assert sum(row.own_s + row.shared_s for row in rows) == pytest.approx(worked_s)
            assert sum(one.seconds for one in steps_of(db, Asked()) if one.job == job.id) == pytest.approx(worked_s)


def test_rebuilding_from_the_journal_gives_the_same_rows(shop_with_six: Engine) -> None:
    before = everything(shop_with_six)
    assert rebuild(shop_with_six) == 6
    assert everything(shop_with_six) == before
    with writing(shop_with_six) as db:
        for row in db.exec(select(JobTime)).all():
            db.delete(row)
        for wrong in db.exec(select(StepTime)).all():
            wrong.seconds = 1e6
            db.add(wrong)
    assert rebuild(shop_with_six) == 6
    assert everything(shop_with_six) == before


def test_times_are_narrowed_by_day_calibration_and_revision(shop_with_six: Engine) -> None:
    def jobs(asked: Asked, calibration: str | None = CAMERA) -> list[str]:
        with session(shop_with_six) as db:
            found = [row.job for row in times_of(db, asked, calibration)]
            assert set(repair_orders(db, found)) == set(found)
            assert {one.job for one in steps_of(db, asked, calibration)} == set(found)
        return found

    assert jobs(Asked()) == ["J-1", "J-2", "J-3", "J-4", "J-5", "J-6"]
    assert jobs(Asked(), RADAR) == ["J-5", "J-6"]
    assert jobs(Asked(since="2025-03-02T00:00:00.000Z", until="2025-03-05T00:00:00.000Z")) == ["J-2", "J-3", "J-4"]
    assert jobs(Asked(revision=1)) == ["J-1", "J-2", "J-3"]
    assert jobs(Asked(vehicle="orvane-wagon", revision=2)) == ["J-4", "J-5", "J-6"]
    assert jobs(Asked(vehicle="selmora-hatch")) == []


def test_times_are_narrowed_by_bay_and_by_how_the_target_was_placed(engine: Engine) -> None:
    for number, (bay, placing) in enumerate([("B1", "tape"), ("B1", "frame"), ("B2", "tape")]):
        sheet = sheet_for(f"J-{number}", [CAMERA], bay=bay)
        finish(engine, sheet, worked(sheet, f"2025-03-0{number + 1}", placing=placing))
    with session(engine) as db:
        assert [row.job for row in times_of(db, Asked(bay="B1"))] == ["J-0", "J-1"]
        assert [row.job for row in times_of(db, Asked(placing="tape"))] == ["J-0", "J-2"]
        known = figures(db)
        assert (known.choices()["bay"], known.choices()["placing"]) == (["B1", "B2"], ["frame", "tape"])
        assert known.choices(RADAR)["vehicle"] == []


def test_planning_gets_the_shops_own_figures_from_the_fifth_job_on(shop_with_six: Engine) -> None:
    with session(shop_with_six) as db:
        assert expected(db, CAMERA) == (750, 840, 6)
        assert expected(db, RADAR) is None
        assert expected(db, "vehicle-ready") == (300, 300, 6)
        assert expected(db, "never-done") is None


def test_planning_leaves_out_estimated_times_and_what_was_not_done(engine: Engine) -> None:
    for number in range(6):
        sheet = sheet_for(f"J-{number}", [CAMERA])
        outcomes = ("not-run",) if number == 0 else ("done",)
        finish(engine, sheet, worked(sheet, f"2025-03-0{number + 1}", outcomes=outcomes, boot_lost=number == 1))
    with session(engine) as db:
        rows = times_of(db, Asked(), CAMERA)
        assert [row.outcome for row in rows] == ["not-run", *["done"] * 5]
        assert [row.estimated for row in rows] == [False, True, False, False, False, False]
        assert [row.first_time_pass for row in rows] == [None, True, True, True, True, True]
        assert expected(db, CAMERA) is None
        assert expected(db, "vehicle-ready") == (300, 300, 5)


def test_a_job_that_never_was_finished_has_no_times(engine: Engine) -> None:
    sheet = sheet_for("J-1", [CAMERA])
    events = worked(sheet, "2025-03-01")[:-1]
    with writing(engine) as db:
        db.add(Job(id="J-1", sort="calibration", phase="open", created_at=events[0].at, sheet=keep_sheet(db, sheet)))
        append(db, events)
    assert rebuild(engine) == 0
    assert everything(engine) == ([], [])


def test_pauses_are_kept_apart_from_the_work(engine: Engine) -> None:
    sheet = sheet_for("J-1", [CAMERA])
    events = worked(sheet, "2025-03-01")
    moved = [replace(one, mono_s=one.mono_s + 120) for one in events[2:]]
    pause = replace(events[1], kind="paused", step=None, mono_s=310.0, data={"reason": "parts"})
    resume = replace(pause, kind="resumed", mono_s=430.0, data={})
    numbered = [
        replace(one, id=new_id(1_700_000_000_000), seq=seq)
        for seq, one in enumerate([*events[:2], pause, resume, *moved], start=1)
    ]
    finish(engine, sheet, numbered)
    with session(engine) as db:
        (row,) = times_of(db, Asked())
        assert row.pauses_s == {"parts": 120}
        assert (row.own_s, row.shared_s) == (600, 300)
