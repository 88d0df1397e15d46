"""Whether a thing of the kit may be used, as a word with a shape and an ink."""

from dataclasses import dataclass
from datetime import date, timedelta

from webapp.storage.tables import Item

SOON = timedelta(days=30)


@dataclass(frozen=True)
class State:
    """`word` names a message, `shape` stands before it, `ink` is the class of its colour. `usable`: a scan takes it."""

    word: str
    shape: str
    ink: str
    usable: bool = True


GOOD = State("kit-good", "●", "inside")
SOON_DUE = State("kit-due-soon", "◐", "close")
OVERDUE = State("kit-overdue", "⊗", "outside", usable=False)
DAMAGED = State("kit-damaged", "⊗", "outside", usable=False)


def state_of(item: Item, today: date) -> State:
    """Return the state of a thing of the kit on that day."""
    return of_item(item.condition, item.inspection_due, today)


def of_item(condition: str, due: date | None, today: date) -> State:
    """Return the state on that day: an inspection is overdue from the day after it was due."""
    if condition == "damaged":
        return DAMAGED
    if due is None:
        return GOOD
    if due < today:
        return OVERDUE
    return SOON_DUE if due - today <= SOON else GOOD
