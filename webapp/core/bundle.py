"""What a shop sends to head office: entries of its log in their order, each with the path to a head that the shop has
signed, and with the newest entry of a job all that was recorded of it.

Head office goes by three things: the shop's key signed the head; the head continues the one that it cosigned last; what
comes with an entry is, to the byte, what the entry's digests tell of. A bundle that comes twice changes nothing.
"""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import rfc8785

from .errors import BadInput, Conflict, shown
from .events import INSTANT, Event
from .evidence import AMENDED, FORMAT, Entry, Head, Signed, amendment_text
from .fields import Fields
from .merkle import continues
from .proven import Finding, against_entry, entry_of, events_in, head_of, in_log
from .took import ABOUT, REVISION, TIMES, spent_of, time_of, whole

BUNDLE = "baybook-bundle"
VERSION = 2
"""Of the bundles that a shop sends; 1 had no revision, placing, steps and pauses. Older ones are read all the same."""
MOST_ENTRIES = 200
MOST_LINES = 20_000
EARLIEST, LATEST = "2000-01-01T00:00:00.000Z", "2100-01-01T00:00:00.000Z"


@dataclass(frozen=True)
class Body:
    """All that was recorded of an ended job: when it ended, the sheet in its canonical spelling, the journal's lines in
    their order, the amendments, how long each calibration took, and where that went (None: the shop did not tell).
    """

    ended_at: str
    sheet: str
    lines: tuple[str, ...]
    amendments: tuple[dict[str, Any], ...]
    times: tuple[dict[str, Any], ...]
    spent: dict[str, Any] | None = None


@dataclass(frozen=True)
class Sent:
    """An entry on its way. Without a body where a later entry of the same job brings it, or where it was erased."""

    number: int
    text: str
    path: list[str]
    entry: Entry
    body: Body | None


@dataclass(frozen=True)
class Bundle:
    """`since` is the size of the head that `consistency` begins at: the last one that head office cosigned."""

    version: str
    since: int
    head: Head
    consistency: list[str]
    sent: tuple[Sent, ...]


@dataclass(frozen=True)
class Checked:
    """What an entry's body came to: its events with the digests of their lines, or what speaks against it."""

    sent: Sent
    events: tuple[Event, ...] = ()
    digests: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()


def read_bundle(given: Any) -> Bundle:
    """Read what a request's body says, as JSON.

    Raises BadInput: `bundle-format`, `bundle-newer`, or what `Fields` raises, naming the field.
    """
    if not isinstance(given, Mapping) or not isinstance(given.get(BUNDLE), int):
        what = f'{BUNDLE} is missing: a bundle is a JSON object that begins with "{BUNDLE}": {VERSION}'
        raise BadInput("bundle-format", BUNDLE, what)
    _need_known_version(BUNDLE, given[BUNDLE], VERSION)
    fields = Fields(given, "", [BUNDLE, "version", "since", "head", "consistency", "entries"])
    return Bundle(
        fields.text_or_none("version") or "",
        whole(fields, "since"),
        head_of(fields.inner("head", ["size", "root", "at", "signature"]).given),
        fields.texts_or_none("consistency") or [],
        tuple(_sent(one) for one in fields.each("entries", MOST_ENTRIES, ["number", "entry", "path"], ["body"])),
    )


def _sent(fields: Fields) -> Sent:
    text = fields.text_or_none("entry") or ""
    try:
        said = json.loads(text)
        if isinstance(said, dict) and isinstance(said.get("baybook-entry"), int):
            _need_known_version(fields.at("entry"), said["baybook-entry"], FORMAT)
        entry = entry_of(text)
    except ValueError as error:
        raise BadInput("bundle-format", fields.at("entry"), f"{fields.at('entry')} is no entry: {error}") from error
    body = None
    if fields.get("body") is not None:
        inner = fields.inner("body", ["ended_at", "sheet", "lines", "amendments", "times"], ["spent"])
        body = Body(
            _instant(inner, "ended_at"),
            inner.text_or_none("sheet") or "",
            tuple(inner.texts_or_none("lines") or []),
            tuple(dict(one.given) for one in inner.each("amendments", MOST_LINES, AMENDED)),
            tuple(time_of(one) for one in inner.each("times", MOST_LINES, TIMES, [*ABOUT, REVISION])),
            None if inner.get("spent") is None else spent_of(inner.inner("spent", ["steps", "pauses_s"])),
        )
    return Sent(whole(fields, "number"), text, fields.texts_or_none("path") or [], entry, body)


def _instant(fields: Fields, name: str) -> str:
    said = fields.text_or_none(name) or ""
    if not INSTANT.fullmatch(said) or not EARLIEST <= said < LATEST:
        what = f"{fields.at(name)}={shown(said)} must be an instant from {EARLIEST[:4]} on, such as {EARLIEST}"
        raise BadInput("bundle-format", fields.at(name), what)
    return said


def _need_known_version(field: str, version: int, known: int) -> None:
    if version > known:
        what = f"{field}={version} is from a newer Baybook, this one reads up to {known}; bring head office up to date"
        raise BadInput("bundle-newer", field, what)


def need_continued(bundle: Bundle, known: Head, signed: Signed) -> None:
    """Hold the bundle's head against the one that was cosigned last; `signed` tells whether the shop signed something.

    Raises BadInput (`head-signature`, `entry-not-in-log`) or Conflict (`log-behind`, `log-since`, `log-rewritten`).
    """
    head = bundle.head
    if not signed(head.signature.encode(), head.text().encode()):
        raise BadInput("head-signature", "head", "head is not signed by this shop's key; join head office anew")
    if head.size < known.size:
        what = (
            f"head.size={head.size}, but {known.size} entries were cosigned: the shop was put back to an older state; "
            "have head office make a code to join anew, then all of it is sent again"
        )
        raise Conflict("log-behind", "head", what)
    if bundle.since != known.size:
        what = f"since={bundle.since}, but {known.size} entries were cosigned last; prove it from there"
        raise Conflict("log-since", "since", what)
    try:
        roots, path = (bytes.fromhex(known.root), bytes.fromhex(head.root)), [*map(bytes.fromhex, bundle.consistency)]
        holds = continues(known.size, roots[0], head.size, roots[1], path)
    except ValueError:
        holds = False
    if not holds:
        what = (
            "head does not continue the log that was cosigned: it was rewritten, or two servers go by this shop's "
            "name; stop the one that is a copy, then have head office make a code to join anew"
        )
        raise Conflict("log-rewritten", "head", what)
    for one in bundle.sent:
        for found in in_log({"entry": one.text, "number": one.number, "path": one.path}, head, f"entry {one.number}"):
            raise BadInput(found.code, found.field, found.message)


def check_body(sent: Sent) -> Checked:
    """Hold what came with an entry against its digests. Photos come later, and by their own names."""
    body, entry = sent.body, sent.entry
    if body is None:
        return Checked(sent)
    events, digests, found = events_in(body.lines)
    if any("\x00" in one.device + one.job for one in events) or "\x00" in body.sheet:
        found.append(Finding("event-damaged", "lines", "lines or sheet hold the character 0, which no database keeps"))
    found = found or list(against_entry(digests, events, entry))
    if _sha256(body.sheet) != entry.sheet:
        found.append(Finding("sheet-changed", "sheet", "sheet is not the one that the job was done by"))
    newest = _sha256(amendment_text(body.amendments[-1])) if body.amendments else None
    if entry.amendment is not None and newest != entry.amendment:
        what = "amendments do not end with the one that the entry in the log tells of"
        found.append(Finding("amendment-changed", "amendments", what))
    return Checked(sent, tuple(events), tuple(digests), tuple(found))


def _sha256(text: str) -> str | None:
    """None for a text with half a character in it, which has no bytes."""
    try:
        return hashlib.sha256(text.encode()).hexdigest()
    except UnicodeEncodeError:
        return None


def photographed(checked: Checked) -> list[str]:
    """The photos that the events name, by their SHA-256."""
    named = (one.data.get("sha256") for one in checked.events if one.kind == "photographed")
    return sorted({one for one in named if isinstance(one, str)})


def cosigned_text(shop: str, head: Head, at: str) -> str:
    """What head office signs of a shop's head: that it has seen it, and that it continues all it had seen before."""
    said: dict[str, Any] = {"shop": shop, "size": head.size, "root": head.root, "at": at}
    return rfc8785.dumps({"baybook-cosigned": FORMAT, **said}).decode()
