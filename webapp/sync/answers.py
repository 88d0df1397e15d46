"""A countersign that another phone gave by code, checked on arrival: by that phone's key, and by who had begun it.

What is wrong stands beside the event as a difference (`answer`), as a wrong PIN does. Where the shop has not heard yet
who had begun that phone, it waits (`answer-waits`), and is looked at again when somebody's beginning is told.
"""

import json

from sqlmodel import Session, select

from webapp.core.check import Difference
from webapp.core.errors import BaybookError
from webapp.core.events import Event
from webapp.core.fold import step_of
from webapp.core.sheet import Sheet
from webapp.core.standing import need_asked, standing
from webapp.core.state import JobState
from webapp.core.vouched import WAITS
from webapp.core.vouching import Answer, digest, key_for, read_answer, read_ask, unlike
from webapp.storage import devices, sign_ins
from webapp.storage.keys import BYTES, decoded, public_key, signed
from webapp.storage.phone_tables import Difference as DifferenceRow
from webapp.storage.tables import EventRow

ANSWERED = ("countersigned", "returned")
UNHEARD = "the supervisor's phone has not told yet who had begun it"


def wrong_answer(db: Session, event: Event) -> Difference | None:
    """What is wrong with the answer that came with the event, or that it waits; None where it holds."""
    by = event.data["by"]
    try:
        answer = _proven(db, event)
    except BaybookError as error:
        return Difference("answer", by, error.message)
    if isinstance(answer, str):
        return Difference("answer", by, answer)
    return _of_beginning(db, answer)


def _proven(db: Session, event: Event) -> Answer | str:
    """The answer, which is this event's and that phone's own; else why it is not. Raises BaybookError likewise."""
    given = event.data["answer"]
    ask = read_ask(given["asked"])
    answer, said, signature = read_answer(given["text"])
    key = key_for(answer, digest(given["asked"]), event.device, devices.keys(db))
    known = public_key({"kty": "EC", "crv": "P-256", "x": key["x"], "y": key["y"]})
    if not signed(known, decoded(signature, "answer", 2 * BYTES), said.encode()):
        return f"the answer is not signed by {key['name']}"
    return unlike(ask, answer, event) or answer


def _of_beginning(db: Session, answer: Answer) -> Difference | None:
    one = sign_ins.sign_in(db, answer.sign_in)
    if one is None:
        return Difference(WAITS, answer.by, UNHEARD)
    began = (one.device, one.person, one.right) == (answer.device, answer.by, True)
    return None if began else Difference("answer", answer.by, "that phone was not begun with this person's PIN")


def other_work(sheet: Sheet, before: JobState, event: Event) -> str | None:
    """Why the answer was given for something else than what stands at the event's step; None where it was for that."""
    try:
        ask = read_ask(event.data["answer"]["asked"])
        if step_of(sheet, ask.step):
            need_asked(ask, sheet, before, digest(standing(sheet, before, ask.step)))
            return None
    except BaybookError:
        pass
    return "the answer was given for other work than what stood at this step"


def look_again(db: Session) -> None:
    """Decide what waits and need not any more, inside the session's transaction."""
    for row in db.exec(select(DifferenceRow).where(DifferenceRow.what == WAITS)):
        event = db.exec(select(EventRow).where(EventRow.id == row.event)).one()
        try:
            answer, _said, _signature = read_answer(json.loads(event.data)["answer"]["text"])
        except BaybookError:
            continue  # erased since
        found = _of_beginning(db, answer)
        if found is None:
            db.delete(row)
        elif found.what != WAITS:
            row.what, row.server = found.what, json.dumps(found.server)
            db.add(row)
