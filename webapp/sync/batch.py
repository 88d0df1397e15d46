"""Reading a batch: its limits, its events' texts, and what is wrong with any of them. Nothing is looked up here."""

import hashlib
import json
from contextlib import suppress
from dataclasses import dataclass, field
from typing import Any

from pydantic_core import from_json

from webapp.core.errors import BadInput, BaybookError, shown
from webapp.core.event_data import LARGEST, require
from webapp.core.events import Event
from webapp.core.fields import Fields
from webapp.core.measure.reading import Range
from webapp.storage.journal import as_row

LARGEST_BATCH = 2_000_000
LARGEST_EVENT = 64_000
MOST_EVENTS = 500
MOST_JOBS = 20
UPTIME_S = Range("s", 0, 1e10)


@dataclass(frozen=True, slots=True)
class Given:
    """One event as it came: where it wants to stand, its bytes, and what they say, or what is wrong with that.

    `row` is a sound event's in the journal: made here, before anybody waits for it.
    """

    seq: int
    text: str
    sha256: str
    job: str | None
    says: Event | BaybookError
    row: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Batch:
    """What a phone sent at once; or, with `by`, what the person with that badge brings in from elsewhere."""

    device: str
    events: list[Given]
    digest: str
    jobs: list[dict[str, Any]] = field(default_factory=list)
    sent_at: str | None = None
    mono_s: float | None = None
    signature: str | None = None
    by: str | None = None


def read_batch(body: bytes, device: str, sent_at: str | None = None, signature: str | None = None) -> Batch:
    """Read a request's body.

    Raises BadInput where the batch as a whole cannot be taken: too large, not of this shape, or holding a text that
    does not even say its seq or names another device. What is wrong with a single event is kept with it.
    """
    if len(body) > LARGEST_BATCH:
        message = f"body has {len(body)} bytes; at most {LARGEST_BATCH} are taken at once: send fewer events"
        raise BadInput("batch-too-large", "body", message)
    given = Fields(read_json(body, "body"), "", ["events"], ["jobs", "mono_s"])
    events = [read_line(text, device, f"events[{n}]") for n, text in enumerate(_texts(given, "events", MOST_EVENTS))]
    return Batch(
        device=device,
        events=sorted(events, key=lambda one: one.seq),
        digest=hashlib.sha256(body).hexdigest(),
        jobs=[_job(text, f"jobs[{n}]") for n, text in enumerate(_texts(given, "jobs", MOST_JOBS))],
        sent_at=sent_at,
        mono_s=None if given.get("mono_s") is None else given.number("mono_s", UPTIME_S),
        signature=signature,
    )


def read_json(text: bytes | str, field: str) -> Any:
    """Parse JSON as every language has it. Raises BadInput (`not-json`)."""
    with suppress(ValueError):
        return from_json(text, allow_inf_nan=False)
    try:  # what the quick one does not take: halves of characters, deep nesting, and what is no JSON at all
        return _decoder.decode(text if isinstance(text, str) else text.decode())
    except (ValueError, RecursionError) as error:
        raise BadInput("not-json", field, f"{field} is not JSON: {str(error)[:80]}") from error


def _no_number(text: str) -> None:
    raise ValueError(f"{text} is no number")


# Made once: `json.loads` would make one of its own for every line.
_decoder = json.JSONDecoder(parse_constant=_no_number)


def _texts(given: Fields, name: str, most: int) -> list[str]:
    texts = given.texts_or_none(name) or []
    if len(texts) > most:
        raise BadInput("too-many", name, f"{name} has {len(texts)} entries; at most {most} are taken at once")
    return texts


def read_line(text: str, device: str, field: str) -> Given:
    """Read one event's text.

    Raises BadInput (`not-json`, `event-unreadable`, `device-other`) where it does not say where it stands in the
    device's journal.
    """
    entry = read_json(text, field)
    seq = entry.get("seq") if isinstance(entry, dict) else None
    if not isinstance(seq, int) or isinstance(seq, bool) or not 1 <= seq <= LARGEST:
        raise BadInput("event-unreadable", f"{field}.seq", f"{field}.seq={shown(seq)} must be a whole number from 1")
    if entry.get("device") != device:
        message = f"{field}.device={shown(entry.get('device'))} is not '{device}', who sent it"
        raise BadInput("device-other", f"{field}.device", message)
    try:
        sha256 = hashlib.sha256(text.encode()).hexdigest()
    except UnicodeEncodeError as error:
        raise BadInput("event-unreadable", field, f"{field} holds half a character; it must be UTF-8") from error
    job = entry.get("job") if isinstance(entry.get("job"), str) else None
    try:
        says = _event(text, entry)
    except BaybookError as wrong:
        return Given(seq, text, sha256, job, wrong)
    return Given(seq, text, sha256, job, says, as_row(says))


def _event(text: str, entry: dict[str, Any]) -> Event:
    if len(text) > LARGEST_EVENT:
        message = f"event has {len(text)} characters; at most {LARGEST_EVENT} are kept"
        raise BadInput("event-too-large", "event", message)
    lower = text.lower()
    if "\\u0000" in lower or ("\\ud" in lower and not _whole(entry)):
        raise BadInput("event-text", "event", "event holds a character that no database keeps; leave it out")
    event = Event.from_dict(entry)
    require(event)
    return event


def _whole(entry: dict[str, Any]) -> bool:
    """Whether every text in it can be written as UTF-8."""
    try:
        return bool(json.dumps(entry, ensure_ascii=False).encode())
    except UnicodeEncodeError:
        return False


def _job(text: str, field: str) -> dict[str, Any]:
    found = read_json(text, field)
    if not isinstance(found, dict):
        raise BadInput("not-an-object", field, f"{field}={shown(found)} must be a JSON object")
    return found
