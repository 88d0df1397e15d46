"""What the maker of an event surely knew, told from the places of a job's events alone.

Others are heard of in the order in which the server heard of them, so whoever knows an event knows all that its maker
knew, too. How far a device had heard of another's run its round does not always tell; then nothing is sure.
"""

from collections.abc import Sequence

from .events import Event


def knew_all(before: Sequence[Event], event: Event) -> bool:
    """Whether the event's maker surely knew all that stands before it, and nothing else.

    `before` are all events of the job whose places come before the event's.
    """
    events = [*sorted(before, key=lambda one: one.place), event]
    known: list[int] = []  # for each event what its maker surely knew: a bit for every other
    last: dict[str, int] = {}
    for number, one in enumerate(events):
        known.append(_known(events, known, last.get(one.device), number))
        last[one.device] = number
    return known[-1] == (1 << len(before)) - 1


def _known(events: Sequence[Event], known: Sequence[int], own: int | None, number: int) -> int:
    event = events[number]
    sure = 0 if own is None else known[own] | 1 << own
    if event.round == (0 if own is None else events[own].round):
        return sure  # it had learned of nothing new
    heard = [
        at for at, one in enumerate(events[:number]) if one.device != event.device and one.round == event.round - 1
    ]
    if not heard:
        return sure | 1 << len(events)  # what it had learned of is not here
    devices = {events[at].device for at in heard}
    return sure | known[heard[0]] | 1 << heard[0] if len(devices) == 1 else sure
