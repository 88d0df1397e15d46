"""The pages beside the step at hand: the list of all steps, one step seen again, pause, something is wrong, more."""

from typing import Any

from ..fold import SETTLED, applies
from ..sheet import Say, Sheet
from ..state import PAUSES, Clock, JobState
from .causes import causes_view
from .facts import facts
from .figures import clock
from .frame import applicable, frame
from .steps import step_view

SHAPES = {"done": "●", "held": "◐", "left-undone": "⊗", "open": "○"}


def steps_page(sheet: Sheet, state: JobState, now: Clock, say: Say) -> dict[str, Any]:
    """All steps by section, each with its mark, its time and where it stands."""
    steps = applicable(sheet, state)
    place = {step["id"]: number for number, step in enumerate(steps, 1)}
    sections = []
    for section in sheet["sections"]:
        rows = [_row(step, place[step["id"]], state, say) for step in steps if step["section"] == section["id"]]
        if rows:
            sections.append({"title": section["title"], "steps": rows})
    return frame(sheet, state, now, say) | {"list": {"sections": sections}}


def _row(step: dict[str, Any], n: int, state: JobState, say: Say) -> dict[str, Any]:
    was = state.step(step["id"])
    here = step["id"] == state.current
    return {
        "id": step["id"],
        "n": n,
        "do": step["do"],
        "shape": "◆" if here else SHAPES[was.status],
        "status": say("step-here") if here else say(f"step-{was.status}"),
        "here": here,
        "time": clock(was.worked_s) if was.worked_s else "",
        "undone": say("step-undone", count=was.undone) if was.undone else None,
    }


def step_page(sheet: Sheet, state: JobState, name: str, now: Clock, say: Say) -> dict[str, Any] | None:
    """One step seen again, with what was said and the way to undo it; None where the sheet has no such step."""
    step = next((one for one in sheet["steps"] if one["id"] == name and applies(one, state.answers)), None)
    if step is None:
        return None
    was = state.step(name)
    shown = step_view(sheet, state, step, now, say)
    shown |= {
        "status": say("step-here") if name == state.current else say(f"step-{was.status}"),
        "shape": SHAPES[was.status],
        "facts": facts(step, was, say),
        "may_undo": state.phase == "open" and (was.status != "open" or was.turn > 0),
    }
    return frame(sheet, state, now, say) | {"seen": shown}


def pause_page(sheet: Sheet, state: JobState, now: Clock, say: Say) -> dict[str, Any]:
    return frame(sheet, state, now, say) | {
        "pause": {"reasons": [{"value": one, "label": say(f"pause-{one}")} for one in PAUSES]}
    }


def trouble_page(sheet: Sheet, state: JobState, now: Clock, say: Say) -> dict[str, Any]:
    """The known causes at the step in hand, each with its check and the step to go back to; or a text of one's own."""
    name = state.current
    step = next((one for one in sheet["steps"] if one["id"] == name), None)
    was = state.step(name or "")
    causes = causes_view(step, say) if step else []
    shown = {"id": name, "attempt": was.attempt, "turn": was.turn, "do": step["do"] if step else ""}
    return frame(sheet, state, now, say) | {"trouble": shown | {"causes": causes, "has_causes": bool(causes)}}


def more_page(sheet: Sheet, state: JobState, now: Clock, say: Say) -> dict[str, Any]:
    """Note, leave undone, abandon; and the notes so far."""
    was = state.step(state.current or "")
    step = next((one for one in sheet["steps"] if one["id"] == state.current), None)
    at_step = (
        {"id": state.current, "attempt": was.attempt, "turn": was.turn, "do": step["do"]}
        if step and was.status not in (*SETTLED, "held")
        else None
    )
    return frame(sheet, state, now, say) | {
        "more": {"step": at_step, "notes": list(state.notes), "has_notes": bool(state.notes)}
    }
