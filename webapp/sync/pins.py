"""The PINs and answers of supervisors who countersigned offline, checked on arrival; until then they are provisional.

A wrong one does not undo what was done: it stands beside the event as a difference, and whoever opens the job sees it.
Checking takes a tenth of a second each on purpose, so it is done before the transaction, for events that are new.
"""

from pathlib import Path
from typing import Any

from sqlmodel import Session

from webapp.core.check import Difference
from webapp.core.errors import BaybookError
from webapp.core.events import Event
from webapp.storage import arrivals, people
from webapp.storage.pins import check_pin
from webapp.storage.seal import open_seal
from webapp.storage.sign_ins import vouched
from webapp.sync.answers import ANSWERED, wrong_answer
from webapp.sync.batch import Batch

NEEDS_PIN = (*ANSWERED, "overruled", "finished")


def wrong_pins(db: Session, batch: Batch, data: Path, now: str) -> dict[str, Difference]:
    """By event id, what is wrong with the PINs, or the answers of other phones, that came with a batch.

    `data` is the shop's data folder.
    """
    events = [given.says for given in batch.events if isinstance(given.says, Event) and _needs_pin(given.says)]
    if not events:
        return {}
    known = arrivals.held(db, batch.device, events[0].seq, events[-1].seq)
    found = ((event, _found(db, event, data, now)) for event in events if event.seq not in known)
    return {event.id: one for event, one in found if one}


def _needs_pin(event: Event) -> bool:
    return event.kind in NEEDS_PIN and "by" in event.data


def _found(db: Session, event: Event, data: Path, now: str) -> Difference | None:
    if event.kind in ANSWERED and "answer" in event.data:
        return wrong_answer(db, event)
    why = _wrong(db, event, data, now)
    return Difference("pin", event.data["by"], why) if why else None


def _wrong(db: Session, event: Event, data: Path, now: str) -> str | None:
    sealed: Any = event.data.get("seal")
    person = people.by_badge(db, event.data["by"])
    if sealed is None and event.person and event.data["by"] == event.person:
        began = vouched(db, event.device, event.person, event.seq)
        return None if began else "the phone was not begun with this person's PIN"
    if sealed is None:
        return "no PIN came along"
    if person is None:
        return "nobody's badge here"
    try:
        right = check_pin(db.get_bind().engine, person, open_seal(data, sealed, event.id), event.device, now)
        return None if right else "wrong PIN"
    except BaybookError as error:
        return error.message
