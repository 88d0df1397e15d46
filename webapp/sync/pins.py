"""The PINs and answers of supervisors who countersigned offline, checked on arrival; until then they are provisional.

A wrong one does not undo what was done: it stands beside the event as a difference, and whoever opens the job sees it.
Checking takes a tenth of a second each on purpose, so it is done before the transaction, for events that are new.
"""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from sqlmodel import Session

from webapp.core.check import Difference
from webapp.core.errors import BaybookError, Unavailable
from webapp.core.events import Event
from webapp.storage import arrivals, asides, people
from webapp.storage.pins import check_pin
from webapp.storage.seal import open_seal
from webapp.storage.sign_ins import vouched
from webapp.sync.answers import ANSWERED, wrong_answer
from webapp.sync.batch import Batch, read_line
from webapp.sync.intake import WAITS_FOR_JOB

NEEDS_PIN = (*ANSWERED, "overruled", "finished")


def wrong_pins(db: Session, batch: Batch, data: Path, now: str) -> dict[str, Difference]:
    """By event id, what is wrong with the PINs, or the answers of other phones, that come in with a batch.

    They come with its events, and with those that waited for its jobs. `data` is the shop's data folder. Raises
    Unavailable where a PIN cannot be looked at now: that says nothing of the PIN, and the batch comes again.
    """
    found = ((one, _found(db, one, data, now)) for one in (*_new(db, batch), *_waiting(db, batch)))
    return {event.id: one for event, one in found if one}


def _new(db: Session, batch: Batch) -> list[Event]:
    """The batch's own, but for those that came before; what a manager brings in was kept aside then, and counts."""
    given = [(one.seq, one.sha256, one.says) for one in batch.events if isinstance(one.says, Event)]
    given = [one for one in given if _needs_pin(one[2])]
    if batch.by is not None:
        taken = arrivals.taken_ids(db, [event.id for _seq, _sha256, event in given])
        return [event for _seq, _sha256, event in given if event.id not in taken]
    known = arrivals.held(db, batch.device, given[0][0], given[-1][0]) if given else {}
    return [event for seq, sha256, event in given if known.get(seq) != sha256]


def _waiting(db: Session, batch: Batch) -> Iterator[Event]:
    """What was kept aside for want of a job that comes with this batch: it comes in by itself."""
    for job in (facts.get("job") for facts in batch.jobs):
        name = job.get("id") if isinstance(job, dict) else None
        if isinstance(name, str):
            for aside in asides.waiting_for(db, name, batch.device, WAITS_FOR_JOB):
                says = read_line(aside.line, batch.device, "event").says
                if isinstance(says, Event) and _needs_pin(says):
                    yield says


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
    except Unavailable:
        raise
    except BaybookError as error:
        return error.message
