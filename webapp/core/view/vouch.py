"""A step that waits for a supervisor, with what was recorded at it."""

from typing import Any

from ..lengths import MM
from ..measure import judged
from ..sheet import Say, Sheet
from ..sofar import doer_of
from ..state import JobState, StepState
from .facts import facts
from .figures import as_read

View = dict[str, Any]


def vouch_view(sheet: Sheet, state: JobState, step: dict[str, Any], say: Say) -> View:
    """Beside a step that waits: whose work it is, what was answered, read and photographed."""
    was = state.step(step["id"])
    told = [*_readings(step, was, say), *facts(step, was, say)]
    return {
        "vouch": {
            "doer": doer_of(sheet, state, step["id"]),
            "facts": told,
            "has_facts": bool(told),
            "photos": [{"src": f"/photos/{one}.jpg"} for one in was.photos],
            "mine": False,
        }
    }


def _readings(step: dict[str, Any], was: StepState, say: Say) -> list[str]:
    """Each reading as it was taken."""
    if not was.measured:
        return []
    measure, read = step["measure"], was.measured["readings"]
    return [
        f"{label or say(f'reading-{name}')} "
        f"{say('as-it-is', text=as_read(read[name], allowed.unit, measure.get('unit', MM)))}"
        for name, label, allowed in judged.fields(measure)
        if name in read
    ]
