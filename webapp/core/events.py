"""The journal's one record: something that happened on a job, told in the past tense.

An event is never changed and never removed; the state of a job is what `fold` makes of its events.
"""

import json
import re
import secrets
from collections.abc import Callable
from dataclasses import dataclass, field, fields
from datetime import datetime
from math import isfinite
from typing import Any

from .errors import BadInput, shown

DIGEST = re.compile("[0-9a-f]{64}")
INSTANT = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}\.[0-9]{3}Z")

KINDS = (
    "started",
    "confirmed",
    "chosen",
    "scanned",
    "measured",
    "overruled",
    "photographed",
    "wait-started",
    "waited",
    "countersigned",
    "returned",
    "resulted",
    "left-undone",
    "undone",
    "paused",
    "resumed",
    "noted",
    "troubled",
    "finished",
    "abandoned",
)


compact: Callable[[Any], str] = json.JSONEncoder(ensure_ascii=False, separators=(",", ":")).encode
"""JSON without blanks. `json.dumps` would make an encoder of its own for every line."""

Place = tuple[int, str, int]
"""Round, device, seq."""


@dataclass(frozen=True, slots=True)
class Event:
    """One thing that happened.

    `at` is the wall clock (ISO 8601, UTC, milliseconds) and is for people; intervals come from `mono_s`, seconds on a
    clock that never jumps and that counts on within one `boot`. `attempt` counts the times a step was begun anew,
    `turn` the events of that attempt so far: together they say which page the tap came from. `round` says what its
    maker knew of other devices (see `next_round`); with device and seq it is the event's place in the job. `before` is
    the SHA-256 of the line of its device's event before this one, whatever job that is of; a journal's first event has
    none, nor have those from before there was a chain (see `core.chain`).
    """

    id: str
    job: str
    device: str
    seq: int
    kind: str
    step: str | None
    attempt: int
    turn: int
    at: str
    mono_s: float
    boot: str
    person: str | None = None
    data: dict[str, Any] = field(default_factory=dict)
    round: int = 0
    before: str | None = None

    @property
    def place(self) -> Place:
        """Where the event stands among those of its job, whenever and by whichever way it came."""
        return self.round, self.device, self.seq

    def as_json(self) -> str:
        """One line of a journal file."""
        said = {name: getattr(self, name) for name in self.__slots__}  # `asdict` copies the data, which no one needs
        if self.before is None:
            del said["before"]  # so the lines of old read as they were hashed
        return compact(said)

    @classmethod
    def from_dict(cls, given: dict[str, Any]) -> "Event":
        """Read an event from a journal file; a missing or unknown field, or one of the wrong type, is named.

        Raises:
            BadInput: `event-fields`, `event-kind` or `event-type`.
        """
        wrong = sorted(given.keys() - _KNOWN) + sorted(_NEEDED - given.keys())
        if wrong:
            raise BadInput(
                "event-fields", wrong[0], f"{wrong[0]} is missing or unknown; an event has {', '.join(sorted(_KNOWN))}"
            )
        if given["kind"] not in KINDS:
            raise BadInput(
                "event-kind", "kind", f"kind={shown(given['kind'])} is not known; expected one of {', '.join(KINDS)}"
            )
        for name, (fits, what) in _TYPES.items():
            if name in given and not fits(given[name]):
                raise BadInput("event-type", name, f"{name}={shown(given[name])} must be {what}")
        return cls(**given)


_KNOWN = frozenset(one.name for one in fields(Event))
_NEEDED = _KNOWN - {"person", "data", "round", "before"}


def _is_text(value: Any) -> bool:
    return isinstance(value, str) and value != ""


def _is_text_or_none(value: Any) -> bool:
    return value is None or _is_text(value)


def _is_digest_or_none(value: Any) -> bool:
    return value is None or (isinstance(value, str) and bool(DIGEST.fullmatch(value)))


def _is_instant(value: Any) -> bool:
    """One spelling only, so that every reader of a journal, in whatever language, gets the same instant."""
    try:
        return isinstance(value, str) and bool(INSTANT.fullmatch(value)) and bool(datetime.fromisoformat(value))
    except ValueError:
        return False


def _counts_from(least: int) -> Callable[[Any], bool]:
    return lambda value: isinstance(value, int) and not isinstance(value, bool) and value >= least


def _is_finite(value: Any) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and isfinite(value)


_TYPES: dict[str, tuple[Callable[[Any], bool], str]] = {
    **dict.fromkeys(("id", "job", "device", "boot"), (_is_text, "text")),
    **dict.fromkeys(("step", "person"), (_is_text_or_none, "text or null")),
    **dict.fromkeys(("seq", "attempt"), (_counts_from(1), "a whole number from 1")),
    **dict.fromkeys(("turn", "round"), (_counts_from(0), "a whole number from 0")),
    "before": (_is_digest_or_none, "a SHA-256 in hexadecimal, or null"),
    "at": (_is_instant, "an instant such as 2026-03-02T08:00:00.000Z"),
    "mono_s": (_is_finite, "a finite number of seconds"),
    "data": (lambda value: isinstance(value, dict), "an object"),
}


def next_round(last: Place | None, device: str) -> int:
    """The round of a device's next event, given the place of the last event of the job that it knows.

    A device stays in its round until it has learned of something that another one did since. So an event always stands
    behind everything that its maker knew, and what two devices did without knowing of each other stands one whole run
    after the other, in the same order on every device, whichever run was heard of first.
    """
    if last is None:
        return 0
    return last[0] if last[1] == device else last[0] + 1


def new_id(unix_ms: int, noise: int | None = None) -> str:
    """A UUIDv7 (RFC 9562, 5.7): sorts by time of making, unique by 74 random bits.

    Identity only; order is the journal's.
    """
    bits = secrets.randbits(74) if noise is None else noise
    value = (unix_ms & (1 << 48) - 1) << 80 | 0x7 << 76 | (bits >> 62 & 0xFFF) << 64 | 0b10 << 62 | bits & (1 << 62) - 1
    text = f"{value:032x}"
    return "-".join((text[:8], text[8:12], text[12:16], text[16:20], text[20:]))
