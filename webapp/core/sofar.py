"""What a job has come to: how a step is to be read in it, whose work waits, and what it would leave open."""

from typing import Any

from .fold import applies
from .measure.ground import grounded, surveys_contacts
from .measure.spaced import spaced, spacings, tells_spacing
from .sheet import Sheet, once
from .state import JobState


def in_job(sheet: Sheet, state: JobState, step: dict[str, Any]) -> dict[str, Any]:
    """A measure step as it is to be read in this very job: its heights corrected by the floor survey, its hub marks as
    far apart as they were measured.
    """
    known = ((one, state.step(one["id"])) for one in _measuring(sheet["steps"]))
    stands = [(one, was.measured) for one, was in known if was.status in ("done", "held") and was.measured]
    survey = next((found for one, found in stands if surveys_contacts(one)), None)
    apart = spacings([(one["measure"], found) for one, found in stands])
    return {**step, "measure": spaced(grounded(step["measure"], survey), apart)}


@once
def _measuring(steps: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """The steps whose readings may change how another is to be read."""
    measures = [step for step in steps if step["kind"] == "measure"]
    return [step for step in measures if surveys_contacts(step) or tells_spacing(step["measure"])]


def doer_of(sheet: Sheet, state: JobState, name: str) -> str | None:
    """Whose work waits at that step for a supervisor."""
    was = state.step(name)
    return was.done_by if was.status == "held" else doer_before(sheet, state, name)


def doer_before(sheet: Sheet, state: JobState, name: str) -> str | None:
    """Whoever did the last step before this one: theirs is the work that a countersign step vouches for."""
    last = done_before(sheet, state, name)
    return state.step(last).done_by if last else None


def done_before(sheet: Sheet, state: JobState, name: str) -> str | None:
    """The last step before this one that somebody did."""
    names = [step["id"] for step in sheet["steps"]]
    before = reversed(names[: names.index(name)])
    return next((one for one in before if state.step(one).status == "done" and state.step(one).done_by), None)


def sent_back(sheet: Sheet, state: JobState, name: str) -> tuple[str, ...]:
    """What is begun anew when a supervisor sends this step back: the step; of a countersign step the one before it."""
    if state.step(name).status == "held":
        return (name,)
    last = done_before(sheet, state, name)
    return (last,) if last else ()


def left_open(sheet: Sheet, state: JobState) -> list[dict[str, str]]:
    """What a finished job would leave open: steps left undone and calibrations that were not run, each with its
    reason.
    """
    found = []
    for step in sheet["steps"]:
        known = state.steps.get(step["id"])
        if known is None or not applies(step, state.answers):
            continue
        if known.status == "left-undone":
            found.append({"step": step["id"], "do": step["do"], "what": "left-undone", "reason": known.reason or ""})
        elif known.outcome and known.outcome["outcome"] == "not-run":
            found.append({"step": step["id"], "do": step["do"], "what": "not-run", "reason": known.outcome["reason"]})
    return found
