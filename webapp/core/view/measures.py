"""What a measure step shows: its fields, or the verdict on what was read and what to do about it."""

from typing import Any

from ..drawing.move import stand_move
from ..measure import judged
from ..measure.square import TAPE_NAMES
from ..sheet import Say
from ..state import Clock, StepState
from .figures import digits_for, figure, trimmed, unit_sign

VERDICTS = {
    "inside": ("inside", "●"),
    "recorded": ("inside", "●"),
    "too-close-to-call": ("close", "◐"),
    "outside": ("outside", "⊗"),
    "does-not-fit": ("close", "◐"),
}


def measure_view(step: dict[str, Any], was: StepState, _now: Clock, say: Say, again: bool) -> dict[str, Any]:
    measure, found = step["measure"], was.measured
    judgement = verdict_view(found, say) if found and not again else None
    shown: dict[str, Any] = {
        "method": measure["method"],
        "fields": _fields(measure, say),
        "asks": judgement is None,
        "judged": judgement,
        "button": step["button"] or say("button-measure"),
        "again": say("button-repeat" if found and found["verdict"] in judged.ASKS_REPEAT else "button-moved"),
        "may_overrule": bool(judgement and found and found["verdict"] == "too-close-to-call"),
        "repeat_of": say("measure-repeat", count=len(was.sets) + 1) if was.sets and judgement is None else None,
    }
    if judgement is None or found is None or not found.get("fits"):
        return {"measure": shown}
    # Where the stand is and how it must move says more, now, than how to measure it.
    judgement["move"] = stand_move({**found, **found["pose"]}, measure["target"], say)
    return {"measure": shown, "drawing": None}


def _fields(measure: dict[str, Any], say: Say) -> list[dict[str, str]]:
    # Whoever is to set a pressure or a height needs the figure before the reading, not with its verdict.
    wanted = {
        one["name"]: limits_text(one["low"], one["high"], one["unit"], say) for one in measure.get("readings", [])
    }
    return [
        {
            "name": name,
            "label": label or say(f"reading-{name}"),
            "unit": unit_sign(allowed.unit),
            "wanted": wanted.get(name, ""),
        }
        for name, label, allowed in judged.fields(measure)
    ]


def verdict_view(found: dict[str, Any], say: Say) -> dict[str, Any]:
    """The verdict in words with its shape, each part against its limits, and the advice in the order a person
    follows it.
    """
    look, shape = VERDICTS[found["verdict"]]
    parts = [_part(part, say) for part in found["parts"]]
    return {
        "class": look,
        "shape": shape,
        "title": say(f"verdict-{found['verdict']}"),
        "parts": parts,
        "has_parts": bool(parts),
        "advice": [
            one
            for one in (_advice(number, entry, say) for number, entry in enumerate(found.get("advice", []), 1))
            if one
        ],
        "odd": say("measure-odd-one", tape=say(f"reading-{found['odd_one_out']}"))
        if found.get("odd_one_out")
        else None,
        "expect": _expect(found, say),
        "misfit": say("measure-misfit", misfit=figure(found["misfit"], 1))
        if found["verdict"] == "does-not-fit"
        else None,
        "repeats": _repeats(found, say),
    }


def _part(part: dict[str, Any], say: Say) -> dict[str, Any]:
    decimals = digits_for(part["U"])
    look, shape = VERDICTS[part["verdict"]]
    return {
        "label": part["label"] or say(f"part-{part['name']}"),
        "value": figure(part["value"], decimals),
        "U": figure(part["U"], decimals),
        "unit": unit_sign(part["unit"]),
        "limits": limits_text(part["low"], part["high"], part["unit"], say),
        "class": look,
        "shape": shape,
        "verdict": say(f"verdict-short-{part['verdict']}"),
    }


def limits_text(low: float | None, high: float | None, unit: str, say: Say) -> str:
    if low is None and high is None:
        return ""
    if low is None or high is None:
        side, value = ("at-most", high) if low is None else ("at-least", low)
        return say(f"limits-{side}", value=trimmed(value or 0.0), unit=unit_sign(unit))
    return say("limits-between", low=trimmed(low), high=trimmed(high), unit=unit_sign(unit))


def _advice(number: int, entry: dict[str, Any], say: Say) -> dict[str, Any] | None:
    if entry["do"] == "expect":
        return None
    # Fluent takes strings and numbers; 'nearer', 'left' and the like choose a variant of the sentence.
    args = {key: value for key, value in entry.items() if key != "do"}
    return {"number": number, "text": say(f"advice-{entry['do']}", **args)}


def _expect(found: dict[str, Any], say: Say) -> dict[str, Any] | None:
    entry = next((one for one in found.get("advice", []) if one["do"] == "expect"), None)
    if entry is None or found["verdict"] == "inside":
        return None
    return {
        "tapes": [{"label": say(f"reading-{name}"), "value": figure(entry["tapes_mm"][name], 0)} for name in TAPE_NAMES]
    }


def _repeats(found: dict[str, Any], say: Say) -> str | None:
    if found["verdict"] != "too-close-to-call":
        return None
    wanted = [part.get("repeats", 0) for part in found["parts"] if part["verdict"] == "too-close-to-call"]
    if any(one is None for one in wanted):
        return say("repeats-none")
    most = max((one for one in wanted if one), default=0)
    return say("repeats-settle", count=max(1, most - found["sets"])) if most else say("repeats-unknown")
