"""The sheet: the steps of one job, fully resolved, frozen and named by what is in it.

After a job has started nothing else is asked: not the procedures, not the specs, not the plan. So a later edit of a
procedure cannot change a running or a finished job, and a phone with the sheet can work alone.
"""

import hashlib
from collections.abc import Callable
from typing import Any, TypeVar

import rfc8785

Sheet = dict[str, Any]
Say = Callable[..., str]
FORMAT = 1
MOST_KEPT = 64

Part = TypeVar("Part")
Found = TypeVar("Found")


def canonical(sheet: Sheet) -> str:
    """The one spelling of a sheet that is hashed, the same in every language: RFC 8785."""
    return rfc8785.dumps(sheet).decode()


def content_hash(sheet: Sheet) -> str:
    """SHA-256 of the canonical JSON, in hexadecimal."""
    return text_hash(canonical(sheet))


def text_hash(text: str) -> str:
    """The hash of a sheet whose canonical JSON this is: to write that takes far longer than to hash it."""
    return hashlib.sha256(text.encode()).hexdigest()


def once(work: Callable[[Part], Found]) -> Callable[[Part], Found]:
    """Keep what was worked out of a part of a sheet, such as its steps, for those asked for last.

    A sheet never changes, and a part is known again by being the very same object: every event of a backlog asks.
    """
    kept: dict[int, tuple[Part, Found]] = {}

    def kept_or_worked_out(part: Part) -> Found:
        known = kept.get(id(part))  # a part that is kept here lives, so no other can have its number
        if known is None:
            if len(kept) >= MOST_KEPT:
                kept.clear()
            known = kept[id(part)] = part, work(part)
        return known[1]

    return kept_or_worked_out
