"""What every step shows, whatever its kind."""

from typing import Any

from ..clock import interval_s
from ..lengths import MM
from ..sheet import Say, Sheet
from ..state import Clock, JobState
from .area import fit_view
from .drawings import drawing_view
from .figures import clock
from .frame import applicable


def step_view(sheet: Sheet, state: JobState, step: dict[str, Any], now: Clock, say: Say) -> dict[str, Any]:
    """The step's sentence, its cautions and drawing, the reasons, its time so far, and what its forms must send
    back.
    """
    was = state.step(step["id"])
    steps = applicable(sheet, state)
    place = next(number for number, one in enumerate(steps) if one["id"] == step["id"])
    spent = was.worked_s + (_running_s(state, now) if step["id"] == state.current and was.status == "open" else 0.0)
    following = steps[place + 1] if place + 1 < len(steps) else None
    return {
        "id": step["id"],
        "kind": step["kind"],
        "is": {step["kind"]: True},
        "attempt": was.attempt,
        "turn": was.turn,
        "n": place + 1,
        "count": say("job-count", n=place + 1, of=len(steps)),
        "elapsed": clock(spent),
        "elapsed_s": int(spent),
        "do": step["do"],
        "why": step["why"],
        "mistakes": step["mistakes"],
        "has_mistakes": bool(step["mistakes"]),
        "cautions": [one | {"word": say(f"signal-{one['signal'].lower()}")} for one in step["cautions"]],
        "drawing": drawing_view(sheet, step, was, say),
        "fit": fit_view(sheet["job"].get("fit"), say, sheet.get("unit", MM)) if step.get("shows") == "area" else None,
        "has_causes": bool(step["causes"]),
        "next": say("job-next", what=following["do"]) if following else None,
        "previous": steps[place - 1]["id"] if place else None,
        "again": was.undone > 0,
        "returned": was.returned if was.status == "open" else None,
    }


def _running_s(state: JobState, now: Clock) -> float:
    return interval_s(state.clock, now)[0] if state.clock and not state.paused else 0.0
