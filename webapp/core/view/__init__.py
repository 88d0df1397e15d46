"""state -> the JSON that a page's template needs. No HTML here, and no words: `say` brings those in.

`job_page` is the page of the step at hand; the other functions are its neighbours (the list of steps, one step seen
again, a pause,
trouble, more). The phone mirrors this room.
"""

from typing import Any

from ..clock import interval_s
from ..measure.equip import kinds_of
from ..sheet import Say, Sheet
from ..sofar import in_job, left_open
from ..state import Clock, JobState
from .apart import apart_view
from .frame import frame
from .kinds import KIND_VIEWS
from .measures import NOTHING_KNOWN, Shop, measure_view
from .panels import more_page, pause_page, step_page, steps_page, trouble_page
from .steps import step_view
from .vouch import vouch_view

__all__ = ["apart_view", "job_page", "more_page", "pause_page", "reads", "step_page", "steps_page", "trouble_page"]

View = dict[str, Any]


def job_page(
    sheet: Sheet, state: JobState, now: Clock, say: Say, again: bool = False, shop: Shop = NOTHING_KNOWN
) -> View:
    """The step at hand, the pause that is running, or what is left before the job can be finished.

    `again` asks for the empty fields of a measurement whose verdict is on the page; `shop` is needed where the step
    asks for readings (see `reads`).
    """
    page = frame(sheet, state, now, say)
    if state.phase != "open":
        return page | {"ended": {"text": say(f"job-is-{state.phase}"), "reason": state.end_reason}}
    if state.paused:
        since = interval_s(state.clock, now)[0] if state.clock else 0.0
        return page | {"paused": {"reason": say(f"pause-{state.paused}"), "since_s": int(since)}}
    if state.current is None:
        return page | {"finish": _finish(sheet, state, say)}
    step = next(one for one in sheet["steps"] if one["id"] == state.current)
    shown = step_view(sheet, state, step, now, say)
    was = state.step(state.current)
    if was.status == "held":
        return page | {"step": shown | {"held": {"by": was.done_by}} | vouch_view(sheet, state, step, say)}
    if step["kind"] == "measure":
        step = in_job(sheet, state, step)
        return page | {"step": shown | measure_view(step, was, now, say, again, shop)}
    if step["kind"] == "countersign":
        shown |= vouch_view(sheet, state, step, say)
    return page | {"step": shown | KIND_VIEWS[step["kind"]](step, was, now, say, again)}


def reads(sheet: Sheet, state: JobState) -> bool:
    """Whether the step at hand asks for readings with an instrument, so that its page needs to know the kit."""
    step = next((one for one in sheet["steps"] if one["id"] == state.current), None)
    return step is not None and step["kind"] == "measure" and bool(kinds_of(step["measure"]))


def _finish(sheet: Sheet, state: JobState, say: Say) -> View:
    found = [one | {"what": say(f"open-{one['what']}")} for one in left_open(sheet, state)]
    return {"open": found, "has_open": bool(found), "clear": not found}
