"""What hands may do at a job: sheets to work, right taps for the step at hand, and taps that fit nowhere."""

from math import floor
from random import Random
from typing import Any

from tests.sheets import checked, every_kind
from webapp.core.sheet import Sheet
from webapp.core.state import JobState

Given = dict[str, str]
SQUARE = {
    "method": "square",
    "track_mm": 1560,
    "bar_mm": 1200.5,
    "u_mm": 1,
    "target": {"distance_mm": 1500, "offset_mm": 20, "yaw_deg": 0.5},
    "limits": {"distance_mm": [1495, 1505], "offset_mm": [15, 25], "yaw_deg": [0.3, 0.7]},
}
HEIGHTS = {
    "method": "values",
    "readings": [
        {"name": f"{side}_height", "label": side.title(), "unit": "mm", "low": 1257, "high": 1263, "u": u}
        | {"instrument": instrument}
        | ({} if side == "beam" else {"above": {"x_mm": 1500, "y_mm": 420.5 if side == "left" else -420.5}})
        for side, instrument, u in (("left", "tape", None), ("right", "tape", 0.5), ("beam", "scale", None))
    ],
    "compare": [{"label": "Both", "of": ["left_height", "right_height"], "unit": "mm", "low": -2, "high": 2}],
}
SPACING = {
    "method": "values",
    "readings": [
        {"name": "front_spacing", "label": "Front", "unit": "mm", "low": 1552, "high": 1568, "instrument": "tape"}
        | {"u": None, "hubs": "front"}
    ],
    "compare": [],
}
AXIS = {"method": "axis", "u_mm": 1, "limits": {"thrust_deg": [-0.15, 0.15]}}
FLOOR = {
    "method": "floor",
    "points": [
        {"name": f"point-{n}", "label": f"Point {n}", "x_mm": x, "y_mm": y}
        for n, (x, y) in enumerate(((-4000, 1900), (-4000, -1900), (3200, 1900), (3200, -1900), (1600, 0)))
    ],
    "spots": [{"x_mm": 1500, "y_mm": 420.5, "name": "left arm"}],
    "contacts": [
        {"name": f"tyre-{axle}-{side}", "x_mm": x, "y_mm": y}
        for axle, x in (("front", 0), ("rear", -2800))
        for side, y in (("left", 780), ("right", -780))
    ],
    "u_mm": 0.5,
    "limits": {"along_mm_per_m": [-3, 3], "across_mm_per_m": [-3, 3], "residual_mm": [-2, 2]},
}
# What a hand may try at any step, whether it fits there or not.
ANYTHING: list[Given] = [
    {"do": "confirm"},
    {"do": "choose", "option": "laser"},
    {"do": "choose", "option": "none"},
    {"do": "choose", "option": "it's\nnot 'there'"},
    {"do": "measure", "tyre": "248"},
    {"do": "measure", "tyre": "300 kPa"},
    {"do": "measure", "tyre": "9 bar"},
    {"do": "measure"},
    {"do": "overrule", "reason": "It stands.\u00a0"},
    {"do": "photo", "sha256": "B" * 64},
    {"do": "scan", "text": " \u2003\ufeff"},
    {"do": "scan", "text": "https://example.org/" + "x" * 300},
    {"do": "start-wait"},
    {"do": "wait"},
    {"do": "result", "outcome": "failed", "text": " no aim ", "code": "\x1fC-1\x85"},
    {"do": "result", "outcome": "failed", "text": "\u200b\u2028"},
    {"do": "result", "outcome": "not-run", "reason": "no tool"},
    {"do": "result", "outcome": "perhaps"},
    {"do": "countersign"},
    {"do": "return", "reason": "It creaks."},
    {"do": "return"},
    {"do": "leave-undone", "reason": "cannot"},
    {"do": "leave-undone", "reason": "\U0001f527" * 2001},
    {"do": "undo", "step": "work/chock", "reason": "again"},
    {"do": "undo", "step": "work/placing", "reason": "again"},
    {"do": "undo", "step": "work/elsewhere", "reason": "again"},
    {"do": "undo", "step": "toString", "reason": ""},
    {"do": "trouble", "cause": "0"},
    {"do": "trouble", "cause": "7"},
    {"do": "trouble", "text": "It creaks."},
    {"do": "pause", "reason": "break"},
    {"do": "pause", "reason": "sleep"},
    {"do": "resume"},
    {"do": "note", "text": "seen"},
    {"do": "finish"},
    {"do": "abandon", "reason": ""},
    {"do": "abandon", "reason": "The customer took it away."},
    {"do": "constructor"},
    {},
]
LABELS = [checked(text) for text in ("BAY.T.L1.", "BAY.S.SL.", "BAY.T.R1.", "BAY.S.SR.")]


def some_sheet(dice: Random) -> Sheet:
    """A sheet with every kind of step, its hold points and its measurement as the dice have it."""
    sheet = every_kind()
    for step in sheet["steps"]:
        step["hold"] = dice.choices(("none", "apprentice", "everyone"), (6, 2, 1))[0]
        if step["kind"] == "measure":
            # Now and then a survey comes first, which the heights are then corrected by.
            survey = {**step, "id": "work/survey", "measure": FLOOR}
            step["measure"] = dice.choice((step["measure"], HEIGHTS, HEIGHTS, SQUARE, AXIS, FLOOR))
            spacing = {**step, "id": "work/spacing", "measure": SPACING}
    # And the hub marks' distance, which a stand is then squared with.
    for first in (survey, spacing):
        if dice.random() < 0.5:
            sheet["steps"].insert(1, first)
    return in_inches(sheet) if dice.random() < 0.3 else sheet


def in_inches(sheet: Sheet) -> Sheet:
    """The same sheet in a shop that works in inches."""
    steps = [
        step | {"measure": {**step["measure"], "unit": "in"}} if "measure" in step else step for step in sheet["steps"]
    ]
    return {**sheet, "unit": "in", "steps": steps}


def form(state: JobState, wanted: Given) -> Given:
    """The form that a page drawn from this state would send."""
    name = wanted.get("step", state.current or "")
    was = state.step(name)
    return {"step": name, "attempt": str(was.attempt), "turn": str(was.turn), **wanted}


def wanted(dice: Random, sheet: Sheet, state: JobState) -> Given:
    """More often than not what the step at hand asks for."""
    if dice.random() < 0.3:
        return dice.choice(ANYTHING)
    if state.paused:
        return {"do": "resume"}
    step = next((one for one in sheet["steps"] if one["id"] == state.current), None)
    if step is None:
        return {"do": "finish"}
    if state.step(step["id"]).status == "held":
        return {"do": "countersign"} if dice.random() < 0.8 else {"do": "return", "reason": "not level"}
    if (state.step(step["id"]).measured or {}).get("verdict") == "too-close-to-call" and dice.random() < 0.5:
        return {"do": "overrule", "reason": "Read three times."}
    return {"do": step["kind"], **_fitting(dice, step, state)}


def _fitting(dice: Random, step: dict[str, Any], state: JobState) -> Given:
    was = state.step(step["id"])
    match step["kind"]:
        case "choose":
            return {"option": dice.choice(step["options"])["value"]}
        case "scan":
            right = LABELS[(2 * len(was.placed) + bool(was.holding)) % len(LABELS)]
            return {"text": right if dice.random() < 0.7 else dice.choice(LABELS), "via": dice.choice(("camera", "x"))}
        case "measure" if dice.random() < 0.1:
            return {"do": "overrule", "reason": "Read three times."}
        case "measure":
            return _readings(dice, step["measure"])
        case "photo":
            return {"sha256": f"{dice.getrandbits(256):064x}", "media": "image/webp"}
        case "wait" if was.wait_from is None:
            return {"do": "start-wait"}
        case "result":
            return {"outcome": dice.choice(("done", "failed")), "text": "no aim"}
    return {}


def _readings(dice: Random, measure: dict[str, Any]) -> Given:
    """As a person types them: near what is asked for, with a comma now and then."""
    off = dice.choice((0.3, 2.0, 12.0))
    if measure["method"] == "square":
        right = {"left_left": 1523.6, "right_right": 1510.4, "left_right": 2053.9, "right_left": 2012.2}
    elif measure["method"] == "axis":
        right = {f"{end}_{side}_x": x for end, x in (("front", 0), ("rear", -2800)) for side in ("left", "right")}
        right |= {f"{end}_{side}_y": y for end in ("front", "rear") for side, y in (("left", 780), ("right", -780))}
        right |= {"toe_left": 0.1, "toe_right": 0.12}
    elif measure["method"] == "floor":
        right = {one["name"].replace("-", "_"): 0.0 for one in [*measure["points"], *measure["contacts"]]}
    else:
        right = {one["name"]: (one["low"] + one["high"]) / 2 for one in measure["readings"]}
    narrow = {name: off / 60 if name.startswith("toe") else off for name in right}
    typed = {name: f"{value + dice.gauss(0, narrow[name]):.1f}" for name, value in right.items()}
    if "unit" in measure and dice.random() < 0.9:
        typed |= {name: _inches(dice, float(text)) for name, text in typed.items() if not name.startswith("toe")}
    made = {name: text.replace(".", ",") if dice.random() < 0.1 else text for name, text in typed.items()}
    if dice.random() < 0.4:
        made["more"] = "1"
    if dice.random() < 0.3:
        made["instrument-tape"] = dice.choice(("T1", "T2", "T2", "T9", "L1", "none", ""))
    return made


def _inches(dice: Random, length_mm: float) -> str:
    """A length as a person reads it off a rule."""
    count = floor(abs(length_mm) * 16 / 25.4 + 0.5)
    sign = "-" if length_mm < 0 else ""
    return sign + dice.choice((f"{count // 16} {count % 16}/16", f'{count // 16}"', f"{length_mm} mm", f"{count / 16}"))
