"""The sheet: the steps of one job, fully resolved, frozen and named by what is in it.

After a job has started nothing else is asked: not the procedures, not the specs, not the plan. So a later edit of a
procedure cannot change a running or a finished job, and a phone with the sheet can work alone.
"""

import hashlib
from collections.abc import Callable
from typing import Any

import rfc8785

Sheet = dict[str, Any]
Say = Callable[..., str]
FORMAT = 1


def canonical(sheet: Sheet) -> str:
    """The one spelling of a sheet that is hashed, the same in every language: RFC 8785."""
    return rfc8785.dumps(sheet).decode()


def content_hash(sheet: Sheet) -> str:
    """SHA-256 of the canonical JSON, in hexadecimal."""
    return text_hash(canonical(sheet))


def text_hash(text: str) -> str:
    """The hash of a sheet whose canonical JSON this is: to write that takes far longer than to hash it."""
    return hashlib.sha256(text.encode()).hexdigest()
