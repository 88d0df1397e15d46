"""What the kinds of step share: the moment of a tap, and the end of a step."""

from dataclasses import dataclass, field
from typing import Any

from ..errors import BadInput
from ..events import Event
from ..state import Clock, Status, StepState, replace

LONGEST_TEXT = 2000


@dataclass(frozen=True)
class Person:
    """Who taps: badge code, role (technician, apprentice, supervisor, manager) and name.

    `short` names the procedures of which they read the short text (see `core.short`); no decision hangs on it. `levels`
    has what was said of them by calibration (see `core.competence`).
    """

    code: str
    role: str
    name: str
    short: tuple[str, ...] = ()
    levels: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Moment:
    """All that a decision may depend on besides the sheet and the state.

    `witness` is a supervisor whose badge and PIN were checked before the tap came in, or None. `job` is every
    target and spot that
    the job places, to tell a target of another step from a stranger; `supervised` whether the person works the step
    under supervision; `doer` is whoever's work is vouched for at a countersign step, and `back` what is begun anew
    where a supervisor sends the work back. `act` fills them in. `unproven` are steps whose countersign the shop has not
    checked, or found to be none.
    """

    clock: Clock
    today: str
    kit: dict[str, Any] = field(default_factory=dict)
    person: Person | None = None
    witness: Person | None = None
    job: tuple[str, ...] = ()
    supervised: bool = True
    doer: str | None = None
    back: tuple[str, ...] = ()
    unproven: tuple[str, ...] = ()


def held_after(step: dict[str, Any], moment: Moment) -> bool:
    """Whether a supervisor must countersign this step when this person has done it."""
    return bool(step["hold"] == "everyone" or (step["hold"] == "apprentice" and moment.supervised))


def ended(was: StepState, event: Event, **changes: Any) -> StepState:
    """The step done, or held where the event says that a countersign is owed."""
    status: Status = "held" if event.data.get("held") else "done"
    return replace(was, status=status, done_at=event.at, done_by=event.person, **changes)


def words(given: dict[str, str], field_name: str, what: str) -> str:
    """A text that has to be given.

    Raises:
        BadInput: `text-missing` or `text-too-long`.
    """
    text = given.get(field_name, "").strip()
    if not text:
        raise BadInput("text-missing", field_name, f"{field_name} is empty; say {what}")
    if len(text) > LONGEST_TEXT:
        raise BadInput(
            "text-too-long", field_name, f"{field_name} has {len(text)} characters; at most {LONGEST_TEXT} are kept"
        )
    return text
