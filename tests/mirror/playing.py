"""What the tests of the mirror play: sheets, hands that do anything at all, and the same taps put to both sides."""

import json
from collections.abc import Iterable
from dataclasses import asdict, dataclass, field, replace
from datetime import UTC, datetime, timedelta
from random import Random
from typing import Any

from tests.core.cases import same
from tests.mirror.conftest import Mirror
from tests.sheets import APPRENTICE, KIT, SUPERVISOR, TECHNICIAN, checked, every_kind
from webapp.core import view
from webapp.core.act import Draft, act, is_repeat
from webapp.core.errors import BaybookError, Stale
from webapp.core.events import Event
from webapp.core.fold import apply, fold
from webapp.core.kinds import Moment
from webapp.core.sheet import Sheet
from webapp.core.state import Clock, JobState
from webapp.core.view.typed import typed
from webapp.messages import say

Given = dict[str, str]
SQUARE = {
    "method": "square",
    "track_mm": 1560,
    "bar_mm": 1200.5,
    "u_mm": 1,
    "target": {"distance_mm": 1500, "offset_mm": 20, "yaw_deg": 0.5},
    "limits": {"distance_mm": [1495, 1505], "offset_mm": [15, 25], "yaw_deg": [0.3, 0.7]},
}
AXIS = {"method": "axis", "u_mm": 1, "limits": {"thrust_deg": [-0.15, 0.15]}}
FLOOR = {
    "method": "floor",
    "points": [
        {"name": f"point-{n}", "label": f"Point {n}", "x_mm": x, "y_mm": y}
        for n, (x, y) in enumerate(((-4000, 1900), (-4000, -1900), (3200, 1900), (3200, -1900), (1600, 0)))
    ],
    "spots": [{"x_mm": 1500, "y_mm": 420.5, "name": "left arm"}],
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
            step["measure"] = dice.choice((step["measure"], SQUARE, AXIS, FLOOR))
    return sheet


@dataclass(frozen=True)
class Phone:
    """One phone's clocks, in seconds; a restart begins another boot."""

    boot: str
    mono_s: float
    wall_s: float

    def after(self, seconds: float, dice: Random) -> "Phone":
        later = replace(self, mono_s=round(self.mono_s + seconds, 3), wall_s=self.wall_s + seconds)
        if dice.random() > 0.06:
            return later
        return Phone(f"boot-{dice.randrange(16**6):06x}", dice.uniform(0, 90), later.wall_s + dice.gauss(0, 40_000))

    def clock(self) -> Clock:
        at = datetime(2026, 3, 2, 8, tzinfo=UTC) + timedelta(seconds=self.wall_s)
        return Clock(at.isoformat(timespec="milliseconds").replace("+00:00", "Z"), self.mono_s, self.boot)


@dataclass
class Played:
    """A history as Python decided it, and the question that puts the same taps to the mirror."""

    sheet: Sheet
    taps: list[dict[str, Any]]
    told: list[dict[str, Any]]
    events: list[Event]
    state: JobState
    states: list[JobState] = field(default_factory=list)

    def look_after(self, numbers: Iterable[int]) -> None:
        """Ask for the pages after these taps, a while later."""
        for number in numbers:
            about = self.taps[number]["about"]
            self.taps[number]["look"] = {"at": about["at"], "mono_s": about["mono_s"] + 7.25, "boot": about["boot"]}


def agree(mirror: Mirror, played: Played) -> None:
    """Put the same taps to the mirror and compare all that it says, to the last word of its pages."""
    found = mirror.out("play", {"sheet": played.sheet, "taps": played.taps})
    for number, (wanted, said) in enumerate(zip(played.told, found["told"], strict=True)):
        shown, tap = said.pop("pages", None), played.taps[number]
        assert same(said, plain(wanted)), (number, tap["given"], said, wanted)
        if tap["look"]:
            page = pages(played.sheet, played.states[number], Clock(**tap["look"]), tap["given"] or {})
            assert shown == plain(page), (number, tap["given"])
    assert same(found["state"], plain(played.state))


def random_history(dice: Random, sheet: Sheet, length: int) -> Played:
    """Two phones at one job: right taps, wrong taps, taps on old pages and the same tap twice, clocks that jump."""
    phones = {name: Phone(f"boot-{name}", dice.uniform(0, 1e6), 0.0) for name in "ab"}
    played = Played(sheet, [], [], [], fold(sheet, []))
    earlier, last = [played.state], {"do": "confirm"}
    keep(played, None, None, phones["a"].clock(), "a", Draft("started", None, 1, 0, {"sheet": "0" * 64}))
    for _ in range(length):
        name = dice.choices("ab", (4, 1))[0]
        phones = {who: phone.after(dice.uniform(0, 400), dice) for who, phone in phones.items()}
        drawn_from = dice.choice(earlier[-4:]) if dice.random() < 0.12 else played.state
        given = last if dice.random() < 0.05 else form(drawn_from, wanted(dice, sheet, drawn_from))
        moment = Moment(
            phones[name].clock(),
            dice.choice(("2026-03-02", "2027-01-01")),
            KIT if dice.random() < 0.9 else {code: {**item, "condition": "damaged"} for code, item in KIT.items()},
            dice.choice((TECHNICIAN, TECHNICIAN, APPRENTICE, SUPERVISOR, None)),
            dice.choice((SUPERVISOR, SUPERVISOR, TECHNICIAN, None)),
        )
        later = phones[name] if dice.random() < 0.5 else phones[name].after(dice.uniform(0, 0.9), dice)
        keep(played, given, moment, later.clock(), name)
        earlier, last = [*earlier, played.state], given
    return played


def keep(
    played: Played, given: Given | None, moment: Moment | None, clock: Clock, device: str, draft: Draft | None = None
) -> None:
    """Decide one tap, or take a draft that needs no decision, and write down both question and answer."""
    person = moment.person.code if moment and moment.person else None
    number = len(played.taps) + 1
    about = {
        "id": f"event-{number}",
        "job": "job-1",
        "device": device,
        "seq": number,
        "person": person,
        **asdict(clock),
    }
    played.taps.append(
        {
            "given": given,
            "moment": moment and asdict(moment),
            "about": about,
            "look": None,
            "kept": draft and asdict(draft),
        }
    )
    try:
        draft = draft or act(played.sheet, played.state, given or {}, moment or Moment(clock, ""))
    except BaybookError as error:
        again = {"repeat": is_repeat(played.state, given or {})} if isinstance(error, Stale) else {}
        played.told.append(error.as_dict() | again)
        played.states.append(played.state)
        return
    event = Event(**about, kind=draft.kind, step=draft.step, attempt=draft.attempt, turn=draft.turn, data=draft.data)
    played.events.append(event)
    played.told.append({"draft": asdict(draft)})
    played.state = apply(played.sheet, played.state, event)
    played.states.append(played.state)


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
        return {"do": "countersign"}
    if (state.step(step["id"]).measured or {}).get("verdict") == "too-close-to-call" and dice.random() < 0.5:
        return {"do": "overrule", "reason": "Read three times."}
    return {"do": step["kind"], **_fitting(dice, step, state)}


def _fitting(dice: Random, step: dict[str, Any], state: JobState) -> Given:
    was = state.step(step["id"])
    match step["kind"]:
        case "choose":
            return {"option": dice.choice(step["options"])["value"]}
        case "scan":
            right = LABELS[2 * len(was.placed) + bool(was.holding)]
            return {"text": right if dice.random() < 0.7 else dice.choice(LABELS), "via": dice.choice(("camera", "x"))}
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
        right = {one["name"].replace("-", "_"): 0.0 for one in measure["points"]}
    else:
        right = {one["name"]: (one["low"] + one["high"]) / 2 for one in measure["readings"]}
    narrow = {name: off / 60 if name.startswith("toe") else off for name in right}
    typed = {name: f"{value + dice.gauss(0, narrow[name]):.1f}" for name, value in right.items()}
    return {name: text.replace(".", ",") if dice.random() < 0.1 else text for name, text in typed.items()}


def pages(sheet: Sheet, state: JobState, now: Clock, given: Given) -> dict[str, Any]:
    """Every page of a job in this state, by name: the twin of `pages` in play.do.mjs."""
    at_hand = view.job_page(sheet, state, now, say)
    return {
        "job": at_hand,
        "again": view.job_page(sheet, state, now, say, again=True),
        "refused": at_hand | typed(given, "reason") | {"error": "Not so."},
        "steps": view.steps_page(sheet, state, now, say),
        "pause": view.pause_page(sheet, state, now, say),
        "trouble": view.trouble_page(sheet, state, now, say),
        "more": view.more_page(sheet, state, now, say),
        "seen": [view.step_page(sheet, state, step["id"], now, say) for step in sheet["steps"]],
    }


def plain(value: Any) -> Any:
    """The value as JSON brings it over."""
    return json.loads(json.dumps(value, allow_nan=False, default=asdict))
