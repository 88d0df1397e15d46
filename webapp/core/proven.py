"""Whether a record that was handed out is what the shop recorded: checked with nothing but the shop's public key.

A record's file is JSON: the sheet, the journal's lines, the photos and the amendments, and for each entry of the log
that tells of them the path to a signed head. Every check is made, and each that fails is told.

The sheet is the text that its hash is of, as lines and entries are; in a file of format 1 it is an object, which has to
be spelled anew for that (RFC 8785), and takes longer than all else that is checked.
"""

import base64
import binascii
import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from .chain import breaks, digest
from .errors import BadInput, shown
from .events import Event
from .evidence import SORTS, Entry, Head, Signed, amendment_text, journal_digest
from .fold import fold
from .merkle import includes, leaf_hash
from .sheet import content_hash

NEEDED = {
    "entry": str, "number": int, "path": list, "head": dict, "sheet": str, "lines": list, "photos": dict,
    "amendments": list,
}  # fmt: skip
FORMAT = "baybook-record"
NUMBER = 2


@dataclass(frozen=True)
class Finding:
    """Something that is not as the shop recorded it. Unlike an error it does not end the check."""

    code: str
    field: str
    message: str


def check(given: Any, signed: Signed) -> list[Finding]:
    """What speaks against a record; nothing where it is whole and unchanged.

    `signed` tells whether the shop's key made a signature. Raises BadInput (`record-format`) for what is no record.
    """
    file = _read(given)
    head = head_of(file["head"])
    found = [] if signed(head.signature.encode(), head.text().encode()) else [_SIGNATURE]
    try:
        entry = entry_of(file["entry"])
    except ValueError as error:
        return [
            *found,
            Finding("entry-damaged", "entry", f"entry={shown(file['entry'])} is no entry of a log: {error}"),
        ]
    events, digests, damaged = events_in(file["lines"])
    found += in_log(file, head, "entry")
    found += damaged or against_entry(digests, events, entry)
    found += _sheet(file["sheet"], events if not damaged else None, entry)
    found += _photos(file["photos"], events)
    found += _amendments(file["amendments"], head, entry)
    return found


def entry_of(text: str) -> Entry:
    """The entry that a line of the log says. Raises ValueError for a line that is none."""
    said = json.loads(text)
    if not isinstance(said, dict) or said.pop("baybook-entry", None) != 1:
        raise ValueError("it does not begin as one")
    try:
        entry = Entry(**said)
    except TypeError as error:
        raise ValueError("it lacks a field, or has one too many") from error
    if entry.why not in SORTS or entry.text() != text:
        raise ValueError("it is not spelled as one")
    return entry


_SIGNATURE = Finding("head-signature", "head", "head is not signed by this shop's key; ask the shop for its key anew")


def _read(given: Any) -> dict[str, Any]:
    if not isinstance(given, dict) or given.get(FORMAT) not in (1, NUMBER):
        what = f'the file is no record of Baybook: it must be a JSON object with "{FORMAT}": {NUMBER}'
        raise BadInput("record-format", FORMAT, what)
    for name, kind in (NEEDED | ({"sheet": dict} if given[FORMAT] == 1 else {})).items():
        if not isinstance(given.get(name), kind) or isinstance(given[name], bool):
            what = f"{name}={shown(given.get(name))} must be {_WORDS[kind]}; export the record again"
            raise BadInput("record-format", name, what)
    return given


_WORDS = {str: "a text", int: "a whole number", list: "a list", dict: "an object"}


def head_of(said: Mapping[str, Any]) -> Head:
    """The head that a file says. Raises BadInput (`record-format`)."""
    try:
        return Head(int(said["size"]), str(said["root"]), str(said["at"]), str(said["signature"]))
    except (KeyError, TypeError, ValueError) as error:
        what = f"head={shown(dict(said))} must have size, root, at and signature; export the record again"
        raise BadInput("record-format", "head", what) from error


def in_log(placed: Mapping[str, Any], head: Head, field: str) -> Iterator[Finding]:
    """What speaks against an entry, its number and its path leading to the head's root."""
    try:
        path = [bytes.fromhex(one) for one in placed["path"]]
        leaf = leaf_hash(placed["entry"].encode())
        if includes(leaf, placed["number"], head.size, path, bytes.fromhex(head.root)):
            return
    except (TypeError, ValueError, AttributeError, KeyError):
        pass
    what = f"{field} does not lie in the log whose head the shop signed: it was changed, or never recorded"
    yield Finding("entry-not-in-log", field, what)


def events_in(lines: Iterable[Any]) -> tuple[list[Event], list[str], list[Finding]]:
    """The events that these lines say, the digests of the lines, and what cannot be read of them."""
    events, digests, damaged = [], [], []
    for number, line in enumerate(lines, 1):
        try:
            made, sha256 = Event.from_line(line), digest(line)
        except (BadInput, TypeError, ValueError) as error:
            message = f"lines[{number}]={shown(line)} is no event: {error}"
            damaged.append(Finding("event-damaged", f"lines[{number}]", message))
        else:
            events.append(made)
            digests.append(sha256)
    return events, digests, damaged


def against_entry(digests: Sequence[str], events: Sequence[Event], entry: Entry) -> Iterator[Finding]:
    """What speaks against these events, with their lines' digests, being the journal that the entry tells of."""
    for number, event in enumerate(events, 1):
        if event.job != entry.job:
            what = f"lines[{number}] tells of job {shown(event.job)}, the record of job {shown(entry.job)}"
            yield Finding("event-of-another-job", f"lines[{number}]", what)
    places = [event.place for event in events]
    if places != sorted(places):
        yield Finding("events-order", "lines", "lines do not stand in the order of the journal: they were moved")
    for one in breaks(zip(events, digests, strict=True)):
        field = f"lines[{events.index(one.event) + 1}]"
        what = f"{field}.before={shown(one.says)} is not what its device recorded before it: cut, moved, or swapped"
        yield Finding("chain-broken", field, what)
    if len(events) != entry.events:
        what = f"lines has {len(events)} events, the entry in the log tells of {entry.events}: some were cut or added"
        yield Finding("events-count", "lines", what)
    told = ((one.device, one.seq, sha256) for one, sha256 in zip(events, digests, strict=True))
    if journal_digest(told) != entry.journal:
        yield Finding("journal-changed", "lines", "lines are not, to the byte, the events that the shop recorded")


def _sheet(sheet: str | dict[str, Any], events: list[Event] | None, entry: Entry) -> Iterator[Finding]:
    if (_sha256(sheet.encode()) if isinstance(sheet, str) else content_hash(sheet)) != entry.sheet:
        yield Finding("sheet-changed", "sheet", "sheet is not the one that the job was done by")
        return
    if events is None:
        return
    try:
        phase = fold(json.loads(sheet) if isinstance(sheet, str) else sheet, events).phase
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        yield Finding("event-damaged", "lines", f"lines cannot be told on this sheet: {type(error).__name__} {error}")
        return
    if phase == "open":
        yield Finding("not-ended", "lines", "lines do not bring the job to an end, though the entry says that it ended")


def _photos(photos: dict[str, Any], events: list[Event]) -> Iterator[Finding]:
    wanted = {str(event.data.get("sha256")) for event in events if event.kind == "photographed"}
    for sha256 in sorted(wanted):
        if sha256 not in photos:
            yield Finding("photo-missing", "photos", f"photos lacks {sha256}, which the journal tells of")
    for sha256, data in photos.items():
        if sha256 not in wanted:
            yield Finding("photo-foreign", "photos", f"photos has {shown(sha256)}, which the journal does not tell of")
        elif _sha256(_bytes(data)) != sha256:
            yield Finding("photo-changed", "photos", f"photos: {sha256} is another picture than the one that was taken")


def _bytes(data: Any) -> bytes:
    try:
        return base64.b64decode(data, validate=True)
    except (TypeError, ValueError, binascii.Error):
        return b""


def _amendments(amendments: list[Any], head: Head, of: Entry) -> Iterator[Finding]:
    for number, given in enumerate(amendments, 1):
        field = f"amendments[{number}]"
        try:
            entry = entry_of(given["entry"])
            text = amendment_text(given["amendment"])
            counted = given["amendment"]["number"]
        except (KeyError, TypeError, ValueError, AttributeError) as error:
            yield Finding("amendment-damaged", field, f"{field} is no amendment: {type(error).__name__} {error}")
            continue
        yield from in_log(given, head, field)
        if entry.job != of.job or entry.amendment != _sha256(text.encode()) or counted != number:
            what = f"{field} is not the one that the shop recorded under that number for this job"
            yield Finding("amendment-changed", field, what)


def _sha256(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
