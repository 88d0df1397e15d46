"""The jobs that wait for a supervisor."""

from typing import Any

from ..sheet import Say, Sheet
from ..sofar import doer_of
from ..state import Clock, JobState
from .frame import frame

View = dict[str, Any]
NEVER = Clock("", 0.0, "")


def waiting_row(sheet: Sheet, state: JobState, names: dict[str, str], say: Say) -> View | None:
    """A job that waits for a supervisor; None for one that does not. `doer` is whose work waits."""
    step = next((one for one in sheet["steps"] if one["id"] == state.current), None)
    if state.phase != "open" or step is None:
        return None
    if state.step(step["id"]).status != "held" and step["kind"] != "countersign":
        return None
    at = frame(sheet, state, state.clock or NEVER, say)
    doer = doer_of(sheet, state, step["id"])
    title = at["vehicle"] or sheet["job"]["vin"] or say("today-vehicle-unknown")
    return {
        "url": at["url"],
        "order": at["order"],
        "title": title,
        "do": step["do"],
        "by": names.get(doer or "") or say("apart-by-nobody"),
        "doer": doer,
    }


def waiting_view(rows: list[View]) -> View:
    return {"waiting": {"rows": rows, "has_rows": bool(rows)}}
