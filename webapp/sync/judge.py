"""One arriving event, before the journal takes it: is it sound, and does the server decide as the phone did?"""

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from webapp.core.check import Difference, check
from webapp.core.errors import BadInput
from webapp.core.events import Event
from webapp.core.fold import apply, step_of
from webapp.core.kinds.common import Moment, Person
from webapp.core.record import record
from webapp.core.sheet import Sheet
from webapp.core.sofar import in_job
from webapp.core.state import Clock, JobState
from webapp.core.view import job_page, step_page
from webapp.core.view.kinds import KIND_VIEWS
from webapp.core.vouched import WAITS
from webapp.messages import say
from webapp.storage.moments import local_day, seconds_between
from webapp.sync.answers import ANSWERED, other_work

AHEAD_S = 24 * 3600.0
"""An event from further ahead than this is not believed: its phone's clock was wrong, or somebody made it up."""


@dataclass(frozen=True)
class Shop:
    """What an event is judged by: the server's own now, kit and people, and what became of the PINs that came along.

    `lenient`: a manager, whose badge is `by`, has decided that it comes in, whatever the clock says, and `why`.
    """

    now: str
    kit: dict[str, Any]
    people: dict[str, Person]
    photos: Path
    pins: dict[str, Difference] = field(default_factory=dict)
    by: str | None = None
    why: str | None = None

    @property
    def lenient(self) -> bool:
        return self.by is not None


def judge(
    sheet: Sheet, sheet_hash: str, before: JobState, event: Event, shop: Shop, knew_all: Callable[[], bool]
) -> tuple[JobState, list[Difference]]:
    """The state after the event, and where the server decides otherwise. `knew_all`: see `core.check`.

    Raises BadInput (`event-data`) for an event that no page could show, `at-ahead` for one from the future.
    """
    if not shop.lenient and seconds_between(shop.now, event.at) > AHEAD_S:
        message = f"at={event.at} lies more than a day ahead of the server's clock; set the phone's clock right"
        raise BadInput("at-ahead", "at", message)
    clock = Clock(event.at, event.mono_s, event.boot)
    person, witness = (shop.people.get(code or "") for code in (event.person, event.data.get("by")))
    try:
        found = check(sheet, before, event, Moment(clock, local_day(event.at), shop.kit, person, witness), knew_all)
        after = apply(sheet, before, event)
        if not found.same:
            _show(sheet, after, event, clock)
    except (KeyError, TypeError, ValueError, AttributeError, IndexError, ArithmeticError) as error:
        message = f"event is none that its step can have: {type(error).__name__} {str(error)[:100]}"
        raise BadInput("event-data", "data", message) from error
    return after, [*_strangers(sheet_hash, event, shop), *_elsewhere(sheet, before, event, shop), *found.differences]


def _show(sheet: Sheet, after: JobState, event: Event, clock: Clock) -> None:
    """Draw up the pages that would show it. One that breaks them must not get into the journal."""
    job_page(sheet, after, clock, say)
    record(sheet, after, [event])
    step = step_of(sheet, event.step) if event.step else None
    if step:
        if step["kind"] == "measure":
            step = in_job(sheet, after, step)
        KIND_VIEWS[step["kind"]](step, after.step(step["id"]), clock, say, False)
        step_page(sheet, after, step["id"], clock, say)


def _elsewhere(sheet: Sheet, before: JobState, event: Event, shop: Shop) -> list[Difference]:
    """An answer of another phone's that was given for something else than what stands at the step."""
    told = shop.pins.get(event.id)
    if event.kind not in ANSWERED or "answer" not in event.data or (told and told.what != WAITS):
        return []
    was = before.step(event.step or "")
    if (was.attempt, was.turn) != (event.attempt, event.turn):
        return []  # two devices crossed there, which is told by itself
    why = other_work(sheet, before, event)
    return [Difference("answer", event.data["by"], why)] if why else []


def _strangers(sheet_hash: str, event: Event, shop: Shop) -> list[Difference]:
    """What the event names that is not known here so: its person, its PIN, its sheet."""
    found = []
    if event.person and event.person not in shop.people:
        found.append(Difference("person", event.person, None))
    if event.id in shop.pins:
        found.append(shop.pins[event.id])
    if event.kind == "started" and event.data["sheet"] != sheet_hash:
        found.append(Difference("sheet", event.data["sheet"], sheet_hash))
    return found
