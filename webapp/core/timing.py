"""Where a job's time went: each calibration's own steps, its share of the shared set-up, waits and pauses apart.

Set-up and closing serve several calibrations and are done once. Their time is divided equally among the calibrations
they serve. Dividing by need or by length would be a guess about what the set-up would have cost alone, would make a
slow calibration look slower still, and would change one calibration's figure when another's steps are redone. Equal
shares do none of that, and they add up: own steps + shares = the time worked at the job.
"""

from dataclasses import dataclass
from typing import Literal

from .sheet import Sheet
from .state import JobState

Outcome = Literal["done", "failed", "not-run", "left-undone"]


@dataclass(frozen=True, slots=True)
class StepTime:
    """One step's time in seconds: at it (over all attempts) and held for a countersign. `serves` names calibrations.

    What had to be done again beside it: how often it was undone, scans of a wrong label, failed runs, and what was
    found to be the cause, as it was said then.
    """

    step: str
    section: str
    kind: str
    serves: tuple[str, ...]
    own: bool
    worked_s: float
    waited_s: float
    undone: int
    wrong_scans: int
    failures: int
    causes: tuple[str, ...]
    estimated: bool


@dataclass(frozen=True, slots=True)
class CalibrationTime:
    """One calibration's time in seconds. `first_time` is None where the scan tool gave no verdict."""

    calibration: str
    own_s: float
    shared_s: float
    waited_s: float
    estimated: bool
    outcome: Outcome
    first_time: bool | None


@dataclass(frozen=True, slots=True)
class JobTimes:
    """A job's time in seconds. `unshared_s` was worked at sections that serve no calibration (the day's check)."""

    worked_s: float
    waited_s: float
    unshared_s: float
    pauses_s: dict[str, float]
    estimated: bool
    calibrations: tuple[CalibrationTime, ...]
    steps: tuple[StepTime, ...]


def job_times(sheet: Sheet, state: JobState) -> JobTimes:
    """Return where the time of one job went. Steps that never were in hand are left out.

    A step counts with what it took even where a later answer made it superfluous: the time was spent all the same.
    """
    sections = {section["id"]: section for section in sheet["sections"]}
    steps = tuple(
        _step_time(step, sections[step["section"]], state) for step in sheet["steps"] if step["id"] in state.steps
    )
    return JobTimes(
        worked_s=sum(step.worked_s for step in steps),
        waited_s=sum(step.waited_s for step in steps),
        unshared_s=sum(step.worked_s for step in steps if not step.serves),
        pauses_s=dict(state.pauses_s),
        estimated=any(step.estimated for step in steps),
        calibrations=tuple(_calibration_time(one["id"], sheet, state, steps) for one in sheet["calibrations"]),
        steps=steps,
    )


def _step_time(step: Sheet, section: Sheet, state: JobState) -> StepTime:
    known = state.steps[step["id"]]
    return StepTime(
        step=step["id"],
        section=section["id"],
        kind=step["kind"],
        serves=tuple(section["calibrations"]),
        own=section["sort"] == "calibration",
        worked_s=known.worked_s,
        waited_s=known.waited_s,
        undone=known.undone,
        wrong_scans=known.wrong_scans,
        failures=known.failures,
        causes=tuple(one["cause"] for one in state.troubles if one["step"] == step["id"]),
        estimated=known.estimated,
    )


def _calibration_time(name: str, sheet: Sheet, state: JobState, steps: tuple[StepTime, ...]) -> CalibrationTime:
    mine = [step for step in steps if name in step.serves]
    outcome, first_time = _verdict(name, sheet, state)
    return CalibrationTime(
        calibration=name,
        own_s=sum(step.worked_s for step in mine if step.own),
        shared_s=sum(step.worked_s / len(step.serves) for step in mine if not step.own),
        waited_s=sum(step.waited_s / len(step.serves) for step in mine),
        estimated=any(step.estimated for step in mine),
        outcome=outcome,
        first_time=first_time,
    )


def _verdict(name: str, sheet: Sheet, state: JobState) -> tuple[Outcome, bool | None]:
    """What the scan tool said in the end, and whether it said so the first time: done, and no run ever failed.

    What was not run or was left undone has not been tried: it neither passes nor fails. A calibration whose procedure
    asks for no result is done when none of its steps was left undone, and has no first time.
    """
    mine = [step for step in sheet["steps"] if step["section"] == name]
    runs = [state.step(step["id"]) for step in mine if step["kind"] == "result"]
    said = [run.outcome["outcome"] if run.outcome else "left-undone" for run in runs]
    failures = sum(run.failures for run in runs)
    if failures and set(said) != {"done"}:
        return "failed", False
    if runs:
        worst: list[Outcome] = ["left-undone", "not-run", "done"]
        outcome = next(word for word in worst if word in said)
        return outcome, (failures == 0 if outcome == "done" else None)
    undone = any(state.step(step["id"]).status == "left-undone" for step in mine)
    return ("left-undone" if undone else "done"), None
