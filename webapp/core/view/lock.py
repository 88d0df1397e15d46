"""What every page has about it where somebody has the phone."""

from typing import Any

from ..sheet import Say

View = dict[str, Any]


def lock_view(name: str | None, after_s: int, say: Say) -> View:
    """What a page brings along to lock itself, where somebody has the phone."""
    return {"lock": {"name": name, "after_s": after_s, "title": say("pin-locked")}} if name else {}
