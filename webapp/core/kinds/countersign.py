"""countersign: a supervisor vouches for a step, or sends it back with the reason.

By badge and PIN, checked before this is asked; or on the phone that the supervisor began with badge and PIN. For a step
of its own, and for a hold point after any other. Nobody vouches for themselves, on whichever phone.
"""

from typing import Any

from ..errors import NotAllowed
from ..events import Event
from ..state import StepState, replace
from .common import Moment, Person, words

MAY_COUNTERSIGN = ("supervisor", "manager")


def may_countersign(person: Person | None) -> bool:
    return person is not None and person.role in MAY_COUNTERSIGN


def witness_of(moment: Moment, doer: str | None) -> Person:
    """The supervisor who vouches: whose badge and PIN were given, else whoever works with this phone.

    Raises:
        NotAllowed: `witness-missing`, `witness-role` or `witness-self`.
    """
    witness = moment.witness or (moment.person if may_countersign(moment.person) else None)
    if witness is None:
        raise NotAllowed(
            "witness-missing", "badge", "badge is empty; a supervisor scans their badge and types their PIN"
        )
    if witness.role not in MAY_COUNTERSIGN:
        raise NotAllowed(
            "witness-role",
            "badge",
            f"badge={witness.code}: {witness.name} is {witness.role}; a supervisor or manager must countersign",
        )
    if witness.code == doer:
        raise NotAllowed(
            "witness-self", "badge", f"badge={witness.code}: nobody countersigns their own work; ask another supervisor"
        )
    return witness


def record(_step: dict[str, Any], was: StepState, _given: dict[str, str], moment: Moment) -> tuple[str, dict[str, Any]]:
    return "countersigned", {"by": _vouching(was, moment).code}


def record_returned(
    _step: dict[str, Any], was: StepState, given: dict[str, str], moment: Moment
) -> tuple[str, dict[str, Any]]:
    by, reason = _vouching(was, moment).code, words(given, "reason", "what is to be done again")
    return "returned", {"steps": list(moment.back), "reason": reason, "by": by}


def _vouching(was: StepState, moment: Moment) -> Person:
    """Who vouches for what was done: at the step, or before it where it is a step of its own."""
    return witness_of(moment, was.done_by if was.status == "held" else moment.doer)


def settle(_step: dict[str, Any], was: StepState, event: Event) -> StepState:
    done_at, done_by = (was.done_at, was.done_by) if was.status == "held" else (event.at, event.person)
    return replace(was, status="done", countersigned_by=event.data["by"], done_at=done_at, done_by=done_by)
