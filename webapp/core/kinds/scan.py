"""scan: labels read one after the other.

Every scan, right or wrong, is an event; the step is done when every pair is placed. Where two phones have placed the
same pair unheard of each other, the later one counts, and it is one pair still.
"""

from typing import Any

from ..errors import BadInput
from ..events import Event
from ..kit import name_of, open_pairs
from ..scan import scan_verdict
from ..state import StepState, replace
from .common import Moment, ended, held_after

VIAS = ("wedge", "photo", "camera", "typed")
LONGEST_KEPT = 200


def record(step: dict[str, Any], was: StepState, given: dict[str, str], moment: Moment) -> tuple[str, dict[str, Any]]:
    """Raises BadInput `text-missing` where no label was read at all; whatever was read gets a verdict."""
    text = given.get("text", "").strip()
    if not text:
        raise BadInput(
            "text-missing", "text", "text is empty; scan a label, take a photo of it, or type what stands beneath it"
        )
    via = given.get("via", "wedge")
    pairs = step["pairs"]
    found = scan_verdict(pairs, was.placed, moment.kit, text, was.holding, moment.today, moment.job)
    data: dict[str, Any] = {
        "text": text[:LONGEST_KEPT],
        "via": via if via in VIAS else "wedge",
        "verdict": found.verdict,
        "target": found.target,
        "spot": found.spot,
        "holding": found.holding,
        "next": found.next,
        "in_hand": name_of(found.holding, moment.kit) if found.holding else None,
    }
    if found.placed:
        data |= {"placed": found.placed, "pair": _which(step, was, found.placed, moment)}
        if len({one["pair"] for one in was.placed}) + 1 == len(pairs):
            data |= {"complete": True, "held": held_after(step, moment)}
    return "scanned", data


def _which(step: dict[str, Any], was: StepState, placed: dict[str, str | None], moment: Moment) -> int:
    """Which of the step's pairs was just completed."""
    done = {one["pair"] for one in was.placed}
    for number, pair in enumerate(step["pairs"]):
        if number not in done and not open_pairs([pair], [placed], moment.kit):
            return number
    raise AssertionError("a completed pair is one of the step's")


def settle(_step: dict[str, Any], was: StepState, event: Event) -> StepState:
    data = event.data
    scanned = {key: data[key] for key in ("text", "verdict", "next", "in_hand")}
    wrong = was.wrong_scans + (0 if data["verdict"] in ("match", "already-placed") else 1)
    placed = was.placed
    if data.get("placed"):
        others = (one for one in placed if one["pair"] != data["pair"])
        placed = (*others, {**data["placed"], "pair": data["pair"]})
    now = replace(was, scanned=scanned, holding=data["holding"], wrong_scans=wrong, placed=placed)
    return ended(now, event) if data.get("complete") else now
