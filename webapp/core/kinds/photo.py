"""photo: a picture kept with the record, named by its SHA-256."""

import re
from typing import Any

from ..errors import BadInput
from ..events import Event
from ..state import StepState
from .common import Moment, ended, held_after


def record(step: dict[str, Any], _was: StepState, given: dict[str, str], moment: Moment) -> tuple[str, dict[str, Any]]:
    """Raises BadInput `photo-missing` where no stored picture is named."""
    digest = given.get("sha256", "")
    if not re.fullmatch(r"[0-9a-f]{64}", digest):
        raise BadInput("photo-missing", "photo", "photo is empty; take a picture or choose a file, then send it")
    return "photographed", {
        "sha256": digest,
        "media": given.get("media", "image/jpeg"),
        "held": held_after(step, moment),
    }


def settle(_step: dict[str, Any], was: StepState, event: Event) -> StepState:
    return ended(was, event, photos=(*was.photos, event.data["sha256"]))
