"""The chain within a device: each event carries the SHA-256 of the line of the one before it.

So nobody can take an event out of a device's journal, put one in, or change or swap what stands there, without making
all anew that was recorded on that device since. Events from before there was a chain carry nothing; from the first that
does, each has to.
"""

import hashlib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from .events import Event


@dataclass(frozen=True)
class Break:
    """An event that does not follow on what stands before it: what it says, and what that would have to be."""

    event: Event
    says: str | None
    stands: str | None


def digest(line: str) -> str:
    """What the next event carries."""
    return hashlib.sha256(line.encode()).hexdigest()


def follows(event: Event, before: str | None, chained: bool) -> bool:
    """Whether the event follows on the line of that SHA-256. `chained`: whether that line's event is in the chain."""
    return event.before == before if event.before is not None else not chained


def breaks(journal: Iterable[tuple[Event, str]]) -> Iterator[Break]:
    """Where the chain does not hold in events with the `digest` of their lines, of any devices.

    Of a device whose journal is here in parts only, as in the record of one job, what stands side by side is compared.
    """
    by_device: dict[str, list[tuple[Event, str]]] = {}
    for event, sha256 in journal:
        by_device.setdefault(event.device, []).append((event, sha256))
    for _device, own in sorted(by_device.items()):
        yield from _breaks(sorted(own, key=lambda one: one[0].seq))


def _breaks(own: Sequence[tuple[Event, str]]) -> Iterator[Break]:
    chained = False
    for number, (event, _sha256) in enumerate(own):
        last, stands = own[number - 1] if number else (None, None)
        if event.seq == 1 and event.before is not None:
            yield Break(event, event.before, None)
        elif event.before is None and chained:
            yield Break(event, None, stands if last and last.seq == event.seq - 1 else None)
        elif last and last.seq == event.seq - 1 and not follows(event, stands, chained):
            yield Break(event, event.before, stands)
        chained = chained or event.before is not None
