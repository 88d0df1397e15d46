"""What a scan step shows: the pairs to place, what is in the hand, and the verdict on the last label."""

from typing import Any

from ..sheet import Say
from ..state import Clock, StepState

# verdict -> look and shape; a verdict that is not here is a refusal.
LOOKS = {"match": ("inside", "●"), "already-placed": ("close", "◐"), "right-target-wrong-spot": ("close", "◐")}
REFUSED = ("outside", "⊗")


def scan_view(step: dict[str, Any], was: StepState, _now: Clock, say: Say, _again: bool) -> dict[str, Any]:
    done = {one["pair"] for one in was.placed}
    pairs = [_pair(pair, number in done, say) for number, pair in enumerate(step["pairs"])]
    return {
        "scan": {
            "pairs": pairs,
            "many": any(pair["target"] and pair["spot"] for pair in step["pairs"]),
            "holding": say("scan-holding", label=was.scanned["in_hand"]) if was.holding and was.scanned else None,
            "last": _last(was.scanned, say) if was.scanned else None,
            "button": step["button"] or say("button-scan"),
        }
    }


def _pair(pair: dict[str, Any], done: bool, say: Say) -> dict[str, Any]:
    return {
        "target": pair["target_name"] or "",
        "spot": pair["spot_name"] or "",
        "done": done,
        "shape": "●" if done else "○",
        "status": say("scan-placed" if done else "scan-waiting"),
    }


def _last(scanned: dict[str, Any], say: Say) -> dict[str, Any]:
    look, shape = LOOKS.get(scanned["verdict"], REFUSED)
    # A message chooses by what is absent too, so that nothing is left out of its arguments.
    args = {key: "none" if value is None else value for key, value in scanned["next"].items() if key != "do"}
    return {
        "class": look,
        "shape": shape,
        "title": say(f"scan-{scanned['verdict']}"),
        "text": say(f"scan-next-{scanned['next']['do']}", **args),
        "label": scanned["text"][:60],
    }
