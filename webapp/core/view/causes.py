"""The known causes at a step, as the pages show them."""

from typing import Any

from ..sheet import Say
from .figures import clock


def causes_view(step: dict[str, Any], say: Say) -> list[dict[str, Any]]:
    """Each cause with its number, its check and the step to go back to; and how often it is the one, where that is
    known.
    """
    return [{"number": number, **cause, "odds": _odds(cause, say)} for number, cause in enumerate(step["causes"])]


def _odds(cause: dict[str, Any], say: Say) -> str | None:
    # A sheet that was frozen before causes had an order of their own says nothing about it.
    likely, takes = cause.get("likely"), cause.get("takes_s")
    return say("cause-odds", likely=likely, time=clock(takes)) if likely and takes else None
