"""A small sheet with every kind of step, and the hands to work it: what the tests of fold, act and view share."""

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

from webapp.core.act import Draft, act
from webapp.core.events import Event
from webapp.core.fold import fold
from webapp.core.kinds import Moment
from webapp.core.kinds.common import Person
from webapp.core.state import Clock, JobState

TECHNICIAN = Person("AAA111", "technician", "Noor")
APPRENTICE = Person("BBB222", "apprentice", "Ilya")
SUPERVISOR = Person("CCC333", "supervisor", "Ada")

KIT: dict[str, Any] = {
    "L1": {"kind": "target", "is": "board-left", "name": "Board left", "condition": "good", "inspection_due": None},
    "R1": {"kind": "target", "is": "board-right", "name": "Board right", "condition": "good", "inspection_due": None},
    "SL": {"kind": "spot", "is": "arm-left", "name": "left arm", "condition": "good", "inspection_due": None},
    "SR": {"kind": "spot", "is": "arm-right", "name": "right arm", "condition": "good", "inspection_due": None},
    "T1": {
        "kind": "tool",
        "is": "tape",
        "name": "Long tape",
        "condition": "good",
        "inspection_due": "2026-12-01",
        "accuracy": {"shape": "rectangular", "half_width": 0.3, "per_m": 0.2, "k": None},
    },
    "T2": {
        "kind": "tool",
        "is": "tape",
        "name": "Certified tape",
        "condition": "good",
        "inspection_due": None,
        "accuracy": {"shape": "expanded", "half_width": 0.2, "per_m": 0.05, "k": 2.0},
    },
}


def step(name: str, kind: str, **more: Any) -> dict[str, Any]:
    """A step of the section `work`, with what every step has."""
    base: dict[str, Any] = {
        "id": f"work/{name}",
        "section": "work",
        "kind": kind,
        "do": f"Do {name}.",
        "why": f"Because of {name}.",
        "mistakes": [],
        "cautions": [],
        "button": None,
        "only_if": {},
        "hold": "none",
        "expect_s": 60,
        "causes": [],
        "drawing": None,
    }
    return base | more


def pair(target: str, spot: str) -> dict[str, Any]:
    return {"target": target, "target_name": target, "spot": spot, "spot_name": spot}


VALUES = {
    "method": "values",
    "readings": [{"name": "tyre", "label": "Tyre", "unit": "kPa", "low": 230, "high": 250, "instrument": None, "u": 2}],
    "compare": [],
}


def every_kind() -> dict[str, Any]:
    """A sheet of nine steps: each kind once, and one that stands only for the answer `laser`."""
    steps = [
        step("chock", "confirm", button="Chocked"),
        step(
            "placing",
            "choose",
            asks="placing",
            options=[
                {"value": "tape", "label": "Tape", "blocks": None},
                {"value": "laser", "label": "Laser", "blocks": None},
                {"value": "none", "label": "Nothing", "blocks": "Get a tape first."},
            ],
        ),
        step("beam", "confirm", only_if={"placing": ["laser"]}),
        step("hang", "scan", pairs=[pair("board-left", "arm-left"), pair("board-right", "arm-right")]),
        step("tyre", "measure", measure=VALUES),
        step("picture", "photo", photo="The stand"),
        step("settle", "wait", wait_s=30),
        step("run", "result", causes=[{"cause": "Glare", "check": "Look", "redo": "work/hang", "back_to": "Do hang."}]),
        step("sign", "countersign"),
    ]
    return {
        "format": 1,
        "job": {
            "id": "job-1",
            "sort": "calibration",
            "repair_order": "RO 1",
            "vin": "",
            "odometer_km": None,
            "qualifiers": {},
            "reasons": [],
            "bay": None,
        },
        "vehicle": {"id": "v", "maker": "Orvane", "model": "Wagon"},
        "calibrations": [],
        "struck": [],
        "sections": [{"id": "work", "title": "Work", "sort": "calibration", "revision": 1, "calibrations": ["work"]}],
        "placements": {},
        "area": None,
        "steps": steps,
    }


@dataclass
class Hands:
    """Somebody at a job: every tap becomes an event, the clock goes on ten seconds before each."""

    sheet: dict[str, Any] = field(default_factory=every_kind)
    person: Person = TECHNICIAN
    witness: Person | None = None
    mono_s: float = 1000.0
    boot: str = "boot-1"
    wall_s: float = 0.0
    events: list[Event] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.keep(Draft("started", None, 1, 0), 0)

    @property
    def state(self) -> JobState:
        return fold(self.sheet, self.events)

    def clock(self) -> Clock:
        at = datetime(2026, 3, 2, 8, tzinfo=UTC) + timedelta(seconds=self.wall_s)
        return Clock(at.isoformat(timespec="milliseconds").replace("+00:00", "Z"), self.mono_s, self.boot)

    def moment(self) -> Moment:
        return Moment(self.clock(), "2026-03-02", KIT, self.person, self.witness)

    def keep(self, draft: Draft, after_s: float = 10.0) -> Event:
        self.mono_s, self.wall_s = self.mono_s + after_s, self.wall_s + after_s
        clock, number = self.clock(), len(self.events) + 1
        event = Event(
            id=f"event-{number}",
            job="job-1",
            device="d",
            seq=number,
            kind=draft.kind,
            step=draft.step,
            attempt=draft.attempt,
            turn=draft.turn,
            at=clock.at,
            mono_s=clock.mono_s,
            boot=clock.boot,
            person=self.person.code,
            data=draft.data,
        )
        self.events.append(event)
        return event

    def form(self, do: str, **given: str) -> dict[str, str]:
        """The form that the page of the step at hand would send."""
        name = self.state.current or ""
        was = self.state.step(name)
        return {"do": do, "step": name, "attempt": str(was.attempt), "turn": str(was.turn), **given}

    def tap(self, do: str, after_s: float = 10.0, **given: str) -> JobState:
        self.keep(act(self.sheet, self.state, self.form(do, **given), self.moment()), after_s)
        return self.state

    def to(self, name: str) -> JobState:
        """Work, in the plainest way, until that step is at hand."""
        plain: dict[str, dict[str, str]] = {
            "confirm": {"do": "confirm"},
            "choose": {"do": "choose", "option": "tape"},
            "measure": {"do": "measure", "tyre": "240"},
            "photo": {"do": "photo", "sha256": "a" * 64},
            "result": {"do": "result", "outcome": "done"},
        }
        while self.state.current != f"work/{name}":
            at = next(one for one in self.sheet["steps"] if one["id"] == self.state.current)
            if at["kind"] == "scan":
                for text in ("BAY.T.L1.", "BAY.S.SL.", "BAY.T.R1.", "BAY.S.SR."):
                    self.tap("scan", text=checked(text))
            elif at["kind"] == "wait":
                self.tap("start-wait")
                self.wall_s, self.mono_s = self.wall_s + 30, self.mono_s + 30
                self.tap("wait")
            else:
                self.tap(**plain[at["kind"]])
        return self.state


def checked(text: str) -> str:
    """The label's text with its check character."""
    from webapp.core.labels import KIND_OF, Label, label_text

    _maker, letter, code, _check = text.split(".")
    return label_text(Label(KIND_OF[letter], code))
