"""countersign: a supervisor's badge and PIN, checked before this is asked.

For a step of its own, and for a hold point after any other.
"""

from typing import Any

from ..errors import NotAllowed
from ..events import Event
from ..state import StepState, replace
from .common import Moment, Person

MAY_COUNTERSIGN = ("supervisor", "manager")


def witness_of(moment: Moment, doer: str | None) -> Person:
    """The supervisor who vouches.

    Raises:
        NotAllowed: `witness-missing`, `witness-role` or `witness-self`.
    """
    witness = moment.witness
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
    doer = was.done_by if was.status == "held" else moment.person.code if moment.person else None
    return "countersigned", {"by": witness_of(moment, doer).code}


def settle(_step: dict[str, Any], was: StepState, event: Event) -> StepState:
    done_at, done_by = (was.done_at, was.done_by) if was.status == "held" else (event.at, event.person)
    return replace(was, status="done", countersigned_by=event.data["by"], done_at=done_at, done_by=done_by)
