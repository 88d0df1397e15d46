"""The journal's one record: something that happened on a job, told in the past tense.

An event is never changed and never removed; the state of a job is what `fold` makes of its events.
"""

import json
import re
import secrets
from collections.abc import Callable, Set
from dataclasses import dataclass, field, fields
from datetime import datetime
from typing import Annotated, Any

from pydantic import AfterValidator, ConfigDict, Field, TypeAdapter, ValidationError, with_config

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

# Strict: a text is no number, nor true or false one.
Text = Annotated[str, Field(strict=True, min_length=1)]
FromOne = Annotated[int, Field(strict=True, ge=1)]
FromZero = Annotated[int, Field(strict=True, ge=0)]
_BEYOND = 2**1024
"""No float has so much."""
Whole = Annotated[int, Field(strict=True, gt=-_BEYOND, lt=_BEYOND)]
Finite = Annotated[float, Field(strict=True, allow_inf_nan=False)] | Whole


def _on_the_calendar(at: str) -> str:
    """The same instant: it has one spelling, so that every reader of a journal, in whatever language, gets the same."""
    datetime.fromisoformat(at)
    return at


@with_config(ConfigDict(extra="forbid"))
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

    id: Text
    job: Text
    device: Text
    seq: FromOne
    kind: Annotated[str, Field(strict=True, pattern=f"^({'|'.join(KINDS)})$")]
    step: Text | None
    attempt: FromOne
    turn: FromZero
    at: Annotated[str, Field(strict=True, pattern=f"^{INSTANT.pattern}$"), AfterValidator(_on_the_calendar)]
    mono_s: Finite
    boot: Text
    person: Text | None = None
    data: Annotated[dict[str, Any], Field(strict=True)] = field(default_factory=dict)
    round: FromZero = 0
    before: Annotated[str, Field(strict=True, pattern=f"^{DIGEST.pattern}$")] | None = None

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
        try:
            return _READER.validate_python(given)
        except ValidationError as error:
            raise _why_not(given, {one["loc"][0] for one in error.errors() if one["loc"]}) from None

    @classmethod
    def from_line(cls, line: str) -> "Event":
        """Read an event from its line. Raises what `from_dict` raises, and ValueError for what is no JSON."""
        try:
            return _READER.validate_json(line)
        except ValidationError:  # which knows neither our words nor all that `json` reads
            try:
                return cls.from_dict(json.loads(line))
            except RecursionError as error:
                raise ValueError("it is nested too deeply") from error


_KNOWN = frozenset(one.name for one in fields(Event))
_NEEDED = _KNOWN - {"person", "data", "round", "before"}
_WORDS = {
    **dict.fromkeys(("id", "job", "device", "boot"), "text"),
    **dict.fromkeys(("step", "person"), "text or null"),
    **dict.fromkeys(("seq", "attempt"), "a whole number from 1"),
    **dict.fromkeys(("turn", "round"), "a whole number from 0"),
    "before": "a SHA-256 in hexadecimal, or null",
    "at": "an instant such as 2026-03-02T08:00:00.000Z",
    "mono_s": "a finite number of seconds",
    "data": "an object",
}
_READER = TypeAdapter(Event)


def _why_not(given: Any, wrong: Set[Any]) -> BadInput:
    """What to say of something that is no event; `wrong` are the fields that cannot be read."""
    if not isinstance(given, dict):
        return BadInput("not-an-object", "event", f"event={shown(given)} must be a JSON object")
    if odd := sorted(given.keys() - _KNOWN) + sorted(_NEEDED - given.keys()):
        what = f"{odd[0]} is missing or unknown; an event has {', '.join(sorted(_KNOWN))}"
        return BadInput("event-fields", odd[0], what)
    if "kind" in wrong:
        what = f"kind={shown(given['kind'])} is not known; expected one of {', '.join(KINDS)}"
        return BadInput("event-kind", "kind", what)
    name = next(one for one in _WORDS if one in wrong)
    return BadInput("event-type", name, f"{name}={shown(given[name])} must be {_WORDS[name]}")


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
