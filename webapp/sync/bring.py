"""A person's decision: what was kept aside comes in or stays out; a journal that was saved to a file is read in.

What cannot stand in its own place, since another event has it, comes in under the name `brought-in`: nothing that
stands in the journal is ever replaced.
"""

import hashlib
import re
from base64 import b64decode
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from sqlmodel import Session

from webapp.core.errors import BadInput, BaybookError, shown
from webapp.core.events import Event, new_id
from webapp.core.procedure import Library
from webapp.storage import asides
from webapp.storage.devices import device_of, device_of_file
from webapp.storage.journal import as_row, next_seq
from webapp.storage.phone_tables import Aside
from webapp.storage.pieces import take_whole
from webapp.storage.progress import progress_of
from webapp.sync.batch import MOST_EVENTS, Batch, Given, read_batch, read_json, read_line
from webapp.sync.intake import Answer, Intake, Taken, take
from webapp.sync.judge import Shop
from webapp.sync.offline import plan_of

BROUGHT_IN = "brought-in"
PLACE_TAKEN = ("seq-other-bytes", "id-taken")
FORMAT = 1
SHA256 = re.compile(r"[0-9a-f]{64}")
LARGEST_FILE = 50_000_000


def leave_out(db: Session, number: int, shop: Shop) -> None:
    """Decide that it stays out; its text stays kept. Raises as `asides.undecided` does."""
    asides.decide(db, asides.undecided(db, number), "left-out", shop.by, shop.now, shop.why)


def to_bring(db: Session, number: int, by: str) -> Batch:
    """What comes in if that is decided, so that its PINs can be checked first. Raises as `asides.undecided` does."""
    aside = asides.undecided(db, number)
    if aside.seq is None:
        return replace(read_batch(aside.line.encode(), aside.device), by=by)
    return Batch(aside.device, [read_line(aside.line, aside.device, "event")], aside.sha256, by=by)


def bring_in(db: Session, number: int, shop: Shop, library: Library) -> Taken:
    """Decide that it comes in. `shop.by` is the badge of who decides, `shop.pins` what its PINs came to.

    Raises as `asides.undecided` does, or BaybookError where the journal cannot take it even so; it then stays aside.
    """
    aside = asides.undecided(db, number)
    if aside.seq is None:
        batch = to_bring(db, number, shop.by or "")
        asides.decide(db, aside, "brought-in", shop.by, shop.now, shop.why)
        return take(db, batch, shop, [plan_of(library, facts) for facts in batch.jobs])
    elsewhere = None
    if aside.code in PLACE_TAKEN:
        elsewhere, shop = _elsewhere(db, aside, shop)
    batch = Batch(aside.device, [], aside.sha256, by=shop.by)
    intake = Intake(db, batch, device_of(db, aside.device), shop)
    if why := intake.bring(aside, elsewhere):
        raise why
    return intake.finish([Answer(aside.seq, "kept")], [])


def _elsewhere(db: Session, aside: Aside, shop: Shop) -> tuple[Given, Shop]:
    """The same event with an id and a place of its own, behind all that is known of the job; with what its PIN came to,
    which was sealed for the id that it had.
    """
    given = read_line(aside.line, aside.device, "event")
    if not isinstance(given.says, Event):
        raise given.says
    event = replace(
        given.says,
        id=new_id(int(datetime.fromisoformat(shop.now).timestamp() * 1000)),
        device=BROUGHT_IN,
        seq=next_seq(db, BROUGHT_IN),
        round=progress_of(db, given.says.job).round_of(BROUGHT_IN),
    )
    text = event.as_json()
    made = Given(event.seq, text, hashlib.sha256(text.encode()).hexdigest(), event.job, event, as_row(event))
    told = shop.pins.get(given.says.id)
    return made, replace(shop, pins=shop.pins | {event.id: told}) if told else shop


@dataclass(frozen=True)
class Journal:
    """What a phone saved to a file: jobs that it began alone, events, and photos with the lines on which they stand;
    and the lines that could not be read, by number.
    """

    batch: Batch
    photos: list[tuple[int, str, bytes]]
    unread: list[tuple[int, BaybookError]]


@dataclass(frozen=True)
class Imported:
    """What came of a file: the batches it was taken as, the photos that came in with it, and the lines that could not
    be read, by number."""

    taken: list[Taken]
    photos: list[str]
    unread: list[tuple[int, BaybookError]]


def read_journal(text: str, by: str) -> Journal:
    """Read a journal that a phone saved to a file, for the person with that badge.

    The first line is {"journal": 1, "device": "phone-…"}; of the others, {"facts": {…}} is a job that the phone began
    alone, {"photo": SHA-256, "base64": …} is a photo that it had not sent, and every other one is an event, in the
    phone's own bytes. A line that cannot be read keeps no other out.

    Raises BadInput (`journal-head`) where the file does not say whose it is.
    """
    lines = [(number, line) for number, line in enumerate(_lines(text), 1) if line.strip()]
    device = _head(lines)
    batch = Batch(device, [], hashlib.sha256(text.encode()).hexdigest(), [], by=by)
    journal = Journal(batch, [], [])
    for number, line in lines[1:]:
        try:
            entry = read_json(line, f"line {number}")
            if facts := _facts(entry):
                batch.jobs.append(facts)
            elif photo := _photo(entry, f"line {number}"):
                journal.photos.append((number, *photo))
            else:
                batch.events.append(read_line(line, device, f"line {number}"))
        except BaybookError as error:
            journal.unread.append((number, error))
    batch.events.sort(key=lambda one: one.seq)
    return journal


def import_journal(db: Session, journal: Journal, shop: Shop, library: Library) -> Imported:
    """Bring in a journal, inside the session's transaction; brought in twice it is there once.

    Raises BadInput (`device-name`) where no phone was given the name that it goes by.
    """
    device_of_file(db, journal.batch.device, shop.by or "", shop.now)
    plans = [plan_of(library, facts) for facts in journal.batch.jobs]
    taken = [take(db, replace(journal.batch, events=part), shop, plans) for part in _parts(journal.batch.events)]
    photos, unread = [], [*journal.unread]
    for number, name, data in journal.photos:  # after their events, which alone say that they are wanted
        try:
            take_whole(db, shop.photos, name, data)
            photos.append(name)
        except BaybookError as error:
            unread.append((number, error))
    return Imported(taken, photos, unread)


def _lines(text: str) -> list[str]:
    """Where a text ends a line for others, JSON may hold that sign within one."""
    return [line.removesuffix("\r") for line in text.split("\n")]


def _head(lines: Sequence[tuple[int, str]]) -> str:
    head = read_json(lines[0][1], "line 1") if lines else None
    if not isinstance(head, dict) or head.get("journal") != FORMAT or not isinstance(head.get("device"), str):
        message = (
            f'line 1={shown(head)} must be {{"journal": {FORMAT}, "device": …}}: this is no journal that a phone saved'
        )
        raise BadInput("journal-head", "line 1", message)
    return str(head["device"])


def _facts(entry: Any) -> dict[str, Any] | None:
    facts = entry.get("facts") if isinstance(entry, dict) else None
    return facts if isinstance(facts, dict) else None


def _photo(entry: Any, field: str) -> tuple[str, bytes] | None:
    """A photo's name and bytes. Raises BadInput (`photo-unreadable`) where it says that it is one, and is none."""
    if not isinstance(entry, dict) or "photo" not in entry:
        return None
    name, text = entry["photo"], entry.get("base64")
    try:
        if isinstance(name, str) and SHA256.fullmatch(name) and isinstance(text, str):
            return name, b64decode(text, validate=True)
    except ValueError:
        pass
    message = (
        f"{field}.photo={shown(name)} must be a SHA-256 in hexadecimal, with the photo's bytes in base64 beside it"
    )
    raise BadInput("photo-unreadable", f"{field}.photo", message)


def _parts(events: list[Given]) -> Iterator[list[Given]]:
    """So many at a time as a phone would send; once, too, where there are only jobs."""
    for begin in range(0, max(len(events), 1), MOST_EVENTS):
        yield events[begin : begin + MOST_EVENTS]
