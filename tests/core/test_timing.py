"""Where a job's time went, and that nothing of it is lost or counted twice."""

from collections.abc import Iterable
from typing import Any, Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.core.state import JobState, StepState
from webapp.core.timing import CalibrationTime, job_times

CAMERA, RADAR = "forward-camera-static", "forward-radar-static"


def section(name: str, sort: str, calibrations: Iterable[str]) -> dict[str, Any]:
    return {"id": name, "title": name, "sort": sort, "revision": 1, "calibrations": list(calibrations)}


def step(name: str, kind: str = "confirm") -> dict[str, Any]:
    return {"id": name, "section": name.split("/")[0], "kind": kind, "only_if": {}}


def sheet_of(sections: list[dict[str, Any]], steps: list[dict[str, Any]]) -> dict[str, Any]:
    names = [one["id"] for one in sections if one["sort"] == "calibration"]
    return {"sections": sections, "steps": steps, "calibrations": [{"id": name} for name in names]}


TWO = sheet_of(
    [
        section("vehicle-ready", "set-up", [CAMERA, RADAR]),
        section("floor-survey", "set-up", [RADAR]),
        section(CAMERA, "calibration", [CAMERA]),
        section(RADAR, "calibration", [RADAR]),
    ],
    [
        step("vehicle-ready/tyres"),
        step("floor-survey/points"),
        step(f"{CAMERA}/place"),
        step(f"{CAMERA}/result", "result"),
        step(f"{RADAR}/place"),
        step(f"{RADAR}/result", "result"),
    ],
)


def done(worked_s: float, **known: Any) -> StepState:
    return StepState(status="done", worked_s=worked_s, **known)


def said(outcome: str, worked_s: float = 60.0, failures: int = 0) -> StepState:
    return done(worked_s, outcome={"outcome": outcome}, failures=failures)


def finished(**changed: StepState) -> JobState:
    steps = {
        "vehicle-ready/tyres": done(300.0),
        "floor-survey/points": done(200.0),
        f"{CAMERA}/place": done(400.0),
        f"{CAMERA}/result": said("done"),
        f"{RADAR}/place": done(500.0),
        f"{RADAR}/result": said("done"),
    }
    return JobState(phase="finished", steps=steps | changed, pauses_s={"parts": 90.0})


def of(name: str, state: JobState) -> CalibrationTime:
    return next(one for one in job_times(TWO, state).calibrations if one.calibration == name)


def test_own_steps_and_the_share_of_the_set_up_are_told_apart() -> None:
    camera, radar = of(CAMERA, finished()), of(RADAR, finished())
    assert (camera.own_s, camera.shared_s) == (460, 150)
    assert (radar.own_s, radar.shared_s) == (560, 350)


def test_pauses_belong_to_the_job_and_waits_for_a_countersign_are_no_work() -> None:
    held = finished(**{f"{RADAR}/place": done(500.0, waited_s=120.0)})
    times = job_times(TWO, held)
    assert times.pauses_s == {"parts": 90.0}
    assert (times.worked_s, times.waited_s) == (1520, 120)
    assert of(RADAR, held).waited_s == 120
    assert of(RADAR, held).own_s == 560


def test_an_estimated_set_up_step_makes_every_calibration_it_serves_estimated() -> None:
    state = finished(**{"floor-survey/points": done(200.0, estimated=True)})
    assert not of(CAMERA, state).estimated
    assert of(RADAR, state).estimated
    assert job_times(TWO, state).estimated


@pytest.mark.parametrize(
    ("result", "outcome", "first_time"),
    [
        (said("done"), "done", True),
        (said("done", failures=1), "done", False),
        (said("failed", failures=1), "failed", False),
        (said("not-run"), "not-run", None),
        (StepState(status="left-undone", worked_s=5.0), "left-undone", None),
        (StepState(status="left-undone", failures=2), "failed", False),
        (StepState(status="left-undone", failures=1, outcome={"outcome": "failed"}), "failed", False),
    ],
)
def test_first_time_means_done_without_any_failed_run(result: StepState, outcome: str, first_time: bool | None) -> None:
    camera = of(CAMERA, finished(**{f"{CAMERA}/result": result}))
    assert (camera.outcome, camera.first_time) == (outcome, first_time)


@pytest.mark.parametrize(("status", "outcome"), [("done", "done"), ("left-undone", "left-undone")])
def test_a_procedure_that_asks_for_no_result_is_done_when_no_step_was_left_undone(
    status: Literal["done", "left-undone"], outcome: str
) -> None:
    sheet = sheet_of([section(CAMERA, "calibration", [CAMERA])], [step(f"{CAMERA}/look")])
    state = JobState(phase="finished", steps={f"{CAMERA}/look": StepState(status=status, worked_s=10.0)})
    (camera,) = job_times(sheet, state).calibrations
    assert (camera.outcome, camera.first_time) == (outcome, None)


def test_the_days_equipment_check_serves_no_calibration() -> None:
    sheet = sheet_of([section("equipment", "day", [])], [step("equipment/level")])
    times = job_times(sheet, JobState(phase="finished", steps={"equipment/level": done(45.0)}))
    assert (times.worked_s, times.unshared_s, times.calibrations) == (45, 45, ())


SECONDS = st.integers(min_value=0, max_value=10_000_000).map(lambda ms: ms / 1000)


@st.composite
def jobs(draw: st.DrawFn) -> tuple[dict[str, Any], JobState]:
    names = [f"calibration-{number}" for number in range(draw(st.integers(min_value=0, max_value=5)))]
    serving = st.lists(st.sampled_from(names), unique=True) if names else st.just([])
    shared = [
        section(f"{sort}-{number}", sort, draw(serving))
        for sort in ("day", "set-up", "closing")
        for number in range(draw(st.integers(min_value=0, max_value=3)))
    ]
    sections = shared + [section(name, "calibration", [name]) for name in names]
    steps = [
        step(f"{one['id']}/{number}", draw(st.sampled_from(["confirm", "wait", "result"])))
        for one in sections
        for number in range(draw(st.integers(min_value=0, max_value=4)))
    ]
    touched = {
        one["id"]: done(draw(SECONDS), waited_s=draw(SECONDS), undone=draw(st.integers(min_value=0, max_value=3)))
        for one in steps
        if draw(st.booleans())
    }
    return sheet_of(sections, steps), JobState(phase="finished", steps=touched)


@given(jobs())
def test_own_steps_and_shares_add_up_to_the_time_worked(job: tuple[dict[str, Any], JobState]) -> None:
    sheet, state = job
    times = job_times(sheet, state)
    worked = sum(one.worked_s for one in state.steps.values())
    assert times.worked_s == pytest.approx(worked)
    assert sum(one.own_s + one.shared_s for one in times.calibrations) + times.unshared_s == pytest.approx(worked)
    assert sum(one.worked_s for one in times.steps) == pytest.approx(worked)
    assert all(one.own_s >= 0 and one.shared_s >= 0 for one in times.calibrations)
