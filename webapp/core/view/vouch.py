"""What waits for a supervisor: the step with what was recorded at it, all such steps, and who may vouch for them."""

from typing import Any

from ..act import doer_of
from ..kinds.common import Person
from ..kinds.countersign import may_countersign
from ..lengths import MM
from ..measure import judged
from ..sheet import Say, Sheet
from ..state import Clock, JobState, StepState
from .facts import facts
from .figures import as_read
from .frame import frame

View = dict[str, Any]
NEVER = Clock("", 0.0, "")


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


def for_witness(page: View, reader: Person | None) -> View:
    """The page with the ways to accept and to send back, for a supervisor whose work it is not."""
    vouch = (page.get("step") or {}).get("vouch")
    if vouch is None or not may_vouch(reader, vouch["doer"]):
        return page
    return page | {"step": page["step"] | {"vouch": vouch | {"mine": True}}}


def may_vouch(reader: Person | None, doer: str | None) -> bool:
    return reader is not None and may_countersign(reader) and doer is not None and reader.code != doer


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
