"""The journal's one record: something that happened on a job, told in the past tense.

An event is never changed and never removed; the state of a job is what `fold` makes of its events.
"""

import json
import secrets
from dataclasses import asdict, dataclass, field, fields
from typing import Any

from .errors import BadInput

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


@dataclass(frozen=True, slots=True)
class Event:
    """One thing that happened.

    `at` is the wall clock (ISO 8601, UTC, milliseconds) and is for people; intervals come from `mono_s`, seconds on a
    clock that never jumps and that counts on within one `boot`. `attempt` counts the times a step was begun anew,
    `turn` the events of that attempt so far: together they say which page the tap came from.
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

    def as_json(self) -> str:
        """One line of a journal file."""
        return json.dumps(asdict(self), ensure_ascii=False, separators=(",", ":"))

    @classmethod
    def from_dict(cls, given: dict[str, Any]) -> "Event":
        """Read an event from a journal file; a missing or unknown field is named.

        Raises:
            BadInput: `event-fields` or `event-kind`.
        """
        known = {one.name for one in fields(cls)}
        wrong = sorted(set(given) - known) + sorted(known - set(given) - {"person", "data"})
        if wrong:
            raise BadInput(
                "event-fields", wrong[0], f"{wrong[0]} is missing or unknown; an event has {', '.join(sorted(known))}"
            )
        if given["kind"] not in KINDS:
            raise BadInput(
                "event-kind", "kind", f"kind={given['kind']!r} is not known; expected one of {', '.join(KINDS)}"
            )
        return cls(**given)


def new_id(unix_ms: int, noise: int | None = None) -> str:
    """A UUIDv7 (RFC 9562, 5.7): sorts by time of making, unique by 74 random bits.

    Identity only; order is the journal's.
    """
    bits = secrets.randbits(74) if noise is None else noise
    value = (unix_ms & (1 << 48) - 1) << 80 | 0x7 << 76 | (bits >> 62 & 0xFFF) << 64 | 0b10 << 62 | bits & (1 << 62) - 1
    text = f"{value:032x}"
    return "-".join((text[:8], text[8:12], text[12:16], text[16:20], text[20:]))
