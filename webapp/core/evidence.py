"""What is written into the shop's log about a job, and whether a record that was handed out still says the same.

An entry is one line of canonical JSON (RFC 8785). It names the sheet and the journal by their digests and holds nothing
of a person or a vehicle, so that erasing those leaves the log as it is. The log itself is a Merkle tree (`merkle`);
what is signed is its head: how many entries, and their root.
"""

import hashlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

import rfc8785

FORMAT = 1
AMENDED = ("number", "job", "at", "by", "reason", "text")
SORTS = ("finished", "abandoned", "joined", "amended", "erased")
"""Why there is an entry. `joined`: a phone brought further events of a job that had ended; `erased`: the
shop no longer holds what is the vehicle's owner's, and the digests are those of what it held."""

Signed = Callable[[bytes, bytes], bool]
"""(signature, what was signed) -> whether the shop's key made it."""


@dataclass(frozen=True)
class Entry:
    """A job as it stands when the entry is made. `journal` is its digest, `events` how many there are.

    `amendment` is the SHA-256 of the amendment's text, where there is one.
    """

    why: str
    job: str
    sheet: str
    journal: str
    events: int
    at: str
    amendment: str | None = None

    def text(self) -> str:
        """The line that is hashed into the log."""
        said = {"baybook-entry": FORMAT, **self.__dict__}
        return rfc8785.dumps({name: value for name, value in said.items() if value is not None}).decode()


@dataclass(frozen=True)
class Head:
    """The log at one moment, signed: `size` entries with that `root`, in hexadecimal; `signature` as keys spell it."""

    size: int
    root: str
    at: str
    signature: str = ""

    def text(self) -> str:
        """What is signed."""
        return rfc8785.dumps({"baybook-log": FORMAT, "size": self.size, "root": self.root, "at": self.at}).decode()


def journal_digest(events: Iterable[tuple[str, int, str]]) -> str:
    """The digest of a journal: SHA-256 over `DEVICE SEQ SHA256-OF-LINE` and a line feed for each event.

    `events` are (device, seq, SHA-256 of the line in hexadecimal); they are sorted here by device, as text, and seq.
    """
    said = "".join(f"{device} {seq} {sha256}\n" for device, seq, sha256 in sorted(events))
    return hashlib.sha256(said.encode()).hexdigest()


def amendment_text(amendment: Mapping[str, Any]) -> str:
    """The one spelling of an amendment that is hashed: its number, job, time, maker, reason and text."""
    return rfc8785.dumps({name: amendment[name] for name in AMENDED}).decode()
