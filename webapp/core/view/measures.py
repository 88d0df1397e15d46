"""What a measure step shows: its fields, or the verdict on what was read and what to do about it."""

from typing import Any

from ..drawing.move import stand_move
from ..kit import Kit, name_of
from ..lengths import INCHES, MM, Unit, inch_limits
from ..measure import judged
from ..measure.equip import NONE, fit_for_use, instruments_in, kinds_of
from ..measure.outlier import FEWEST
from ..measure.reading import in_inches
from ..measure.square import FRONT, TAPE_NAMES
from ..measure.verdicts import ASKS_REPEAT
from ..numbers import rounded
from ..sheet import Say
from ..state import Clock, StepState
from .figures import as_read, figure, finely, length, length_figure, measured, spread, trimmed, unit_sign

Shop = tuple[Kit, str]
"""The shop's kit and the day, which a page that asks for readings offers the instruments from."""
NOTHING_KNOWN: Shop = ({}, "")

VERDICTS = {
    "inside": ("inside", "●"),
    "recorded": ("inside", "●"),
    "too-close-to-call": ("close", "◐"),
    "outside": ("outside", "⊗"),
    "does-not-fit": ("close", "◐"),
    "read-again": ("close", "○"),
}


def measure_view(
    step: dict[str, Any], was: StepState, _now: Clock, say: Say, again: bool, shop: Shop = NOTHING_KNOWN
) -> dict[str, Any]:
    measure, found, unit = step["measure"], was.measured, step["measure"].get("unit", MM)
    asks = found is None or again or found["verdict"] == "read-again"
    judgement = None if asks else verdict_view(found or {}, say, unit)
    shown: dict[str, Any] = {
        "method": measure["method"],
        "fields": _fields(measure, was, say),
        "asks": asks,
        "judged": judgement,
        "button": step["button"] or say("button-measure"),
        "again": say("button-repeat" if found and found["verdict"] in ASKS_REPEAT else "button-moved"),
        "may_overrule": bool(judgement and found and found["verdict"] == "too-close-to-call"),
        "repeat_of": say("measure-repeat", count=len(was.sets) + 1) if was.sets and asks else None,
        "more": say("button-read-again") if asks and measure["method"] in judged.REPEATABLE else None,
        "instruments": _instruments(measure, was, shop, say) if asks else [],
        "track": say("measure-track", length=length(measure["track_mm"], unit))
        if asks and measure.get("track_measured")
        else None,
    }
    if asks or found is None or not found.get("fits"):
        return {"measure": shown}
    # Where the stand is and how it must move says more, now, than how to measure it.
    shown["judged"]["move"] = stand_move(
        {**found, **found["pose"]}, measure["target"], say, unit, measure.get("hubs", FRONT)
    )
    return {"measure": shown, "drawing": None}


def _fields(measure: dict[str, Any], was: StepState, say: Say) -> list[dict[str, Any]]:
    # Whoever is to set a pressure or a height needs the figure before the reading, not with its verdict.
    unit = measure.get("unit", MM)
    wanted = {
        one["name"]: limits_text(one["low"], one["high"], one["unit"], say, unit) for one in measure.get("readings", [])
    }
    floors = {one["name"]: floor_text(one, say, unit) for one in measure.get("readings", []) if "above" in one}
    return [
        {
            "name": name,
            "label": label or say(f"reading-{name}"),
            "unit": INCHES if in_inches(allowed, unit) else unit_sign(allowed.unit),
            # A keyboard of digits has no stroke for a fraction.
            "keys": "text" if in_inches(allowed, unit) else "decimal",
            "wanted": wanted.get(name, ""),
            "floor": floors.get(name),
            "so_far": say(
                "measure-so-far",
                values=" · ".join(
                    say("as-it-is", text=as_read(readings[name], allowed.unit, unit)) for readings in was.sets
                ),
            )
            if was.sets
            else None,
        }
        for name, label, allowed in judged.fields(measure)
    ]


def floor_text(one: dict[str, Any], say: Say, unit: Unit) -> str:
    """What a tape or a stand's scale should read here, and why that is not the figure of the sheet."""
    floor = one["floor"]
    if floor is None:
        return say("floor-not-surveyed")
    told, (low, high) = _floor_lies(floor, say, unit), (one["low"], one["high"])
    if low is None or high is None:
        return told
    return " ".join([say("floor-reads", length=length((low + high) / 2, unit)), told])


def _floor_lies(floor: dict[str, float], say: Say, unit: Unit) -> str:
    fall = floor["fall_mm"]
    way = "lower" if fall > 0 else "higher" if fall < 0 else "level"
    return say("floor-lies", way=way, fall=finely(abs(fall), unit), U=finely(2 * floor["u_mm"], unit))


def _instruments(measure: dict[str, Any], was: StepState, shop: Shop, say: Say) -> list[dict[str, Any]]:
    """What can be read with, a choice for each kind of instrument that the step asks for."""
    kit, today = shop
    used = (was.measured or {}).get("instruments", {})
    return [
        _choice(kind, used.get(kind, {}).get("code"), fit_for_use(kit, kind, today), kit, say)
        for kind in kinds_of(measure)
        if instruments_in(kit, kind)
    ]


def _choice(kind: str, used: str | None, fit: list[str], kit: Kit, say: Say) -> dict[str, Any]:
    chosen = used if used in fit else fit[0] if fit else NONE
    options = [
        {
            "code": code,
            "chosen": code == chosen,
            "text": say("instrument-due", name=name_of(code, kit), code=code, day=kit[code]["inspection_due"])
            if kit[code].get("inspection_due")
            else say("instrument-named", name=name_of(code, kit), code=code),
        }
        for code in fit
    ]
    none = {"code": NONE, "chosen": chosen == NONE, "text": say("instrument-none")}
    return {"kind": kind, "label": say(f"instrument-{kind}"), "options": [*options, none], "unfit": not fit}


def verdict_view(found: dict[str, Any], say: Say, unit: Unit = MM) -> dict[str, Any]:
    """The verdict in words with its shape, each part against its limits, and the advice in the order a person
    follows it.
    """
    look, shape = VERDICTS[found["verdict"]]
    parts = [_part(part, say, unit) for part in found["parts"]]
    return {
        "class": look,
        "shape": shape,
        "title": say(f"verdict-{found['verdict']}"),
        "parts": parts,
        "has_parts": bool(parts),
        "advice": [
            one
            for one in (_advice(number, entry, say, unit) for number, entry in enumerate(found.get("advice", []), 1))
            if one
        ],
        "odd": _odd(found, say, unit),
        "expect": _expect(found, say, unit),
        "misfit": say("measure-misfit", misfit=figure(found["misfit"], 1))
        if found["verdict"] == "does-not-fit"
        else None,
        "repeats": _repeats(found, say),
    }


def _odd(found: dict[str, Any], say: Say, unit: Unit) -> str | None:
    """Which reading does not go with the others; where there are several and none can be named, why not."""
    if found.get("odd_one_out"):
        return say("measure-odd-one", tape=say(f"reading-{found['odd_one_out']}"))
    if found.get("odd_reason"):
        return say(f"measure-odd-{found['odd_reason']}")
    if found["method"] != "values" or found["sets"] < 2:
        return None
    left_out = [part for part in found["parts"] if "left_out" in part]
    if left_out:
        return " ".join(left_out_text(part, say, unit) for part in left_out)
    return say("measure-odd-of-two" if found["sets"] < FEWEST else "measure-odd-none")


def left_out_text(part: dict[str, Any], say: Say, unit: Unit) -> str:
    value, sign = as_read(part["left_out"], part["unit"], unit), unit_sign(part["unit"], unit)
    return say("measure-left-out", label=part["label"], no=part["left_out_no"], value=value, unit=sign)


def _part(part: dict[str, Any], say: Say, unit: Unit) -> dict[str, Any]:
    look, shape = VERDICTS[part["verdict"]]
    return {
        "label": say("as-it-is", text=part["label"]) if part["label"] else say(f"part-{part['name']}"),
        **measured(part, say, unit),
        "limits": limits_text(part["low"], part["high"], part["unit"], say, unit),
        "how": how_read(part, say, unit),
        "class": look,
        "shape": shape,
        "verdict": say(f"verdict-short-{part['verdict']}"),
    }


def how_read(part: dict[str, Any], say: Say, unit: Unit) -> str:
    """What a value rests on: how many readings, how far they scatter, and which of the shop's instruments."""
    said = []
    if "n" in part:
        said.append(say("part-mean", count=part["n"], s=spread(part, unit), unit=unit_sign(part["unit"], unit)))
    if "floor" in part:
        said.append(_floor_lies(part["floor"], say, unit))
    if "by" in part:
        said.append(say("instrument-named", name=part["by"]["name"], code=part["by"]["code"]))
    return " · ".join(said)


def limits_text(low: float | None, high: float | None, of: str, say: Say, unit: Unit) -> str:
    """Limits in inches are followed by those in mm that they come from, since they lie a little within them."""
    lower, upper = (None if one is None else trimmed(one) for one in (low, high))
    told = _limits(lower, upper, unit_sign(of), say)
    if of != MM or unit != INCHES or not told:
        return told
    return f"{_limits(*inch_limits(low, high), INCHES, say)} · {told}"


def _limits(low: str | None, high: str | None, sign: str, say: Say) -> str:
    if low is None and high is None:
        return ""
    if low is None or high is None:
        side, value = ("at-most", high) if low is None else ("at-least", low)
        return say(f"limits-{side}", value=value, unit=sign)
    return say("limits-between", low=low, high=high, unit=sign)


def _advice(number: int, entry: dict[str, Any], say: Say, unit: Unit) -> dict[str, Any] | None:
    if entry["do"] == "expect":
        return None
    # Fluent takes strings and numbers; 'nearer', 'left' and the like choose a variant of the sentence.
    args = {key: value for key, value in entry.items() if key not in ("do", "mm", "left_end_mm")}
    if (length_mm := entry.get("mm", entry.get("left_end_mm"))) is not None:
        args["length"] = length(length_mm, unit)
    return {"number": number, "text": say(f"advice-{entry['do']}", **args)}


def _expect(found: dict[str, Any], say: Say, unit: Unit) -> dict[str, Any] | None:
    entry = next((one for one in found.get("advice", []) if one["do"] == "expect"), None)
    if entry is None or found["verdict"] == "inside":
        return None
    return {
        "unit": unit,
        "tapes": [
            {"label": say(f"reading-{name}"), "value": length_figure(rounded(entry["tapes_mm"][name], 0), unit)}
            for name in TAPE_NAMES
        ],
    }


def _repeats(found: dict[str, Any], say: Say) -> str | None:
    if found["verdict"] != "too-close-to-call":
        return None
    close = [part for part in found["parts"] if part["verdict"] == "too-close-to-call"]
    if any(part.get("repeats", 0) is None for part in close):
        return say("repeats-none")
    known = [part["repeats"] - part.get("n", 1) for part in close if "repeats" in part]
    return say("repeats-settle", count=max(1, *known)) if known else say("repeats-unknown")
