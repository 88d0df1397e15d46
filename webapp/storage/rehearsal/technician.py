"""One job, gone through tap by tap."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from math import log
from random import Random
from typing import Any

from webapp.core.act import Draft, act
from webapp.core.events import Event, new_id
from webapp.core.fold import apply, current_step, step_of
from webapp.core.kinds.common import Moment, Person
from webapp.core.sheet import Sheet, content_hash
from webapp.core.state import Clock, JobState, StepState

from . import readings
from .labels import next_label
from .mishaps import Mishaps

Step = dict[str, Any]
Given = dict[str, str]

MOST_TAPS = 30
"""A step that takes more taps than this has caught the technician in a circle; it is left undone."""

NEAR_STEPS = 8


@dataclass(frozen=True)
class Cast:
    """Who is there, with what: the kit as core knows it, and the name of a photo for each photo step's words."""

    person: Person
    supervisor: Person
    kit: dict[str, Any]
    photo: Callable[[str], str]


class Technician:
    """Goes through a sheet. `pace` is how much longer than the procedure says this person takes."""

    def __init__(self, sheet: Sheet, cast: Cast, mishaps: Mishaps, begin: datetime, pace: float, dice: Random) -> None:
        self.sheet, self.cast, self.mishaps, self.dice, self.pace = sheet, cast, mishaps, dice, pace
        self.now, self.mono_s, self.boot = begin, dice.uniform(500, 40_000), f"boot-{dice.randrange(16**6):06x}"
        self.state = JobState(current=current_step(sheet, {}, {}))
        self.drafts: list[tuple[Draft, Clock, int]] = []
        self.had: set[str] = set()

    def work(self, until: Callable[[Step], bool] = lambda _step: False) -> JobState:
        """Do the job from start to finish, or up to a step and pause there; what happened is in `events` then."""
        self._tell(Draft("started", None, 1, 0, {"sheet": content_hash(self.sheet)}))
        while (name := self.state.current) is not None:
            step = step_of(self.sheet, name)
            assert step is not None, name  # noqa: S101 - the fold names only steps of this sheet
            if until(step):
                self._tap({"do": "pause", "reason": "customer"}, self.dice.uniform(5, 20))
                return self.state
            self._interrupted(name)
            if self.state.current == name:
                self._do(step)
        self._tap({"do": "finish"}, self.dice.uniform(2, 6))
        return self.state

    def events(self, device: str, first_seq: int) -> list[Event]:
        """The journal of what happened, as this device wrote it."""
        return [
            Event(
                id=new_id(unix_ms, self.dice.getrandbits(74)),
                job=self.sheet["job"]["id"],
                device=device,
                seq=first_seq + number,
                kind=draft.kind,
                step=draft.step,
                attempt=draft.attempt,
                turn=draft.turn,
                at=clock.at,
                mono_s=clock.mono_s,
                boot=clock.boot,
                person=self.cast.person.code,
                data=draft.data,
            )
            for number, (draft, clock, unix_ms) in enumerate(self.drafts)
        ]

    def _do(self, step: Step) -> None:
        for _ in range(MOST_TAPS):
            was = self.state.step(step["id"])
            if was.status == "held":
                self._tap({"do": "countersign"}, self._about(70, 0.7), step)
            else:
                self._tap(self._form(step, was), self._took_s(step, was), step)
            if self.state.current != step["id"]:
                return
            self._after_failure(step)
            if self.state.current != step["id"]:
                return
        self._tap({"do": "leave-undone", "reason": "Could not be brought to an end today."}, 5, step)

    def _interrupted(self, name: str) -> None:
        """What comes between two steps, each of it once."""
        if name in self.mishaps.pauses and self._first("pause", name):
            reason, seconds = self.mishaps.pauses[name]
            self._tap({"do": "pause", "reason": reason}, self.dice.uniform(5, 20))
            self._tap({"do": "resume"}, seconds)
        if name == self.mishaps.reboots_at and self._first("reboot", name):
            self.boot, self.mono_s = f"{self.boot}-2", self.dice.uniform(20, 90)
        undone = self.mishaps.undone
        if undone and undone != name and self.state.step(undone).status == "done" and self._first("undone", undone):
            attempt = str(self.state.step(undone).attempt)
            self._tap({"do": "undo", "step": undone, "attempt": attempt, "reason": "Ticked too early; done again."}, 8)

    def _after_failure(self, step: Step) -> None:
        """A run failed: one of the step's known causes is found, and leads back to where it is put right."""
        if step["kind"] == "result" and step["causes"] and self.state.step(step["id"]).failures:
            near = [number for number, one in enumerate(step["causes"]) if self._is_near(step, one["redo"])]
            cause = self.dice.choice(near or list(range(len(step["causes"]))))
            self._tap({"do": "trouble", "cause": str(cause)}, self._about(150, 0.4), step)

    def _is_near(self, step: Step, redo: str | None) -> bool:
        """Whether a cause leads back a few steps at most: most of them do, and who would do the whole job twice?"""
        names = [one["id"] for one in self.sheet["steps"]]
        return redo is None or (redo in names and names.index(step["id"]) - names.index(redo) <= NEAR_STEPS)

    def _form(self, step: Step, was: StepState) -> Given:
        if step["id"] == self.mishaps.left_undone:
            return {"do": "leave-undone", "reason": "The phone's camera was fogged; nothing to be seen."}
        return _FORMS[step["kind"]](self, step, was)

    def _choose(self, step: Step, _was: StepState) -> Given:
        free = [one["value"] for one in step["options"] if not one["blocks"]]
        return {"do": "choose", "option": free[0] if self.dice.random() < 0.7 else self.dice.choice(free)}

    def _scan(self, step: Step, was: StepState) -> Given:
        swaps = self.mishaps.wrong_label and was.holding is not None and len(step["pairs"]) - len(was.placed) > 1
        wrong = swaps and self._first("wrong", step["section"])
        text = next_label(step["pairs"], was, self.cast.kit, self.now.date().isoformat(), self._bay(), wrong)
        return {"do": "scan", "text": text, "via": "wedge"}

    def _measure(self, step: Step, was: StepState) -> Given:
        measure = step["measure"]
        if was.measured and was.measured["verdict"] == "too-close-to-call" and len(was.sets) > 2:
            return {"do": "overrule", "reason": "Read three times, always the same; good enough for this target."}
        if measure["method"] == "square" and self.mishaps.askew and self._first("askew", step["id"]):
            return {"do": "measure", **readings.readings_askew(measure, self.dice)}
        if was.measured is None:
            return {"do": "measure", **readings.readings_first(measure, self.dice)}
        return {"do": "measure", **readings.readings_inside(measure, self.dice)}

    def _photo(self, step: Step, _was: StepState) -> Given:
        return {"do": "photo", "sha256": self.cast.photo(step["photo"] or step["do"]), "media": "image/jpeg"}

    def _wait(self, _step: Step, was: StepState) -> Given:
        return {"do": "start-wait" if was.wait_from is None else "wait"}

    def _result(self, step: Step, _was: StepState) -> Given:
        if step["section"] == self.mishaps.not_run:
            return {
                "do": "result",
                "outcome": "not-run",
                "reason": "The control unit did not answer; a harness is on order.",
            }
        if step["section"] == self.mishaps.fails and self._first("failed", step["section"]):
            return {"do": "result", "outcome": "failed", "code": "C-217", "text": "Target not found"}
        return {"do": "result", "outcome": "done"}

    def _took_s(self, step: Step, was: StepState) -> float:
        if step["kind"] == "wait":
            return self._about(4, 0.3) if was.wait_from is None else float(step["wait_s"]) + self._about(6, 0.6)
        taps = sum(1 + bool(one["target"] and one["spot"]) for one in step["pairs"]) if step["kind"] == "scan" else 1
        again = 0.6 if was.undone or was.sets or was.wrong_scans else 1.0
        # How far the procedure's figure is off is the step's own, the same on every job.
        habit = Random(step["id"]).lognormvariate(0, 0.25)  # noqa: S311 - nothing to keep secret
        return self._about(step["expect_s"] * self.pace * habit * again / taps, 0.28)

    def _about(self, median_s: float, sigma: float) -> float:
        """Work takes about that long, and now and then much longer: log-normal."""
        return self.dice.lognormvariate(log(median_s), sigma)

    def _first(self, what: str, name: str) -> bool:
        """Whether this is the first time that this comes up."""
        first = f"{what} {name}" not in self.had
        self.had.add(f"{what} {name}")
        return first

    def _bay(self) -> str | None:
        bay: str | None = self.sheet["job"].get("bay")
        return bay

    def _tap(self, given: Given, after_s: float, step: Step | None = None) -> None:
        self._pass(after_s)
        if step is not None:
            was = self.state.step(step["id"])
            given = {"step": step["id"], "attempt": str(was.attempt), "turn": str(was.turn)} | given
        moment = Moment(
            clock=self._clock(),
            today=self.now.date().isoformat(),
            kit=self.cast.kit,
            person=self.cast.person,
            witness=self.cast.supervisor,
        )
        self._tell(self.decide(given, moment))

    def decide(self, given: Given, moment: Moment) -> Draft:
        """What the guard makes of a tap; whoever watches the work looks on here."""
        return act(self.sheet, self.state, given, moment)

    def _tell(self, draft: Draft) -> None:
        clock = self._clock()
        self.drafts.append((draft, clock, round(self.now.timestamp() * 1000)))
        event = Event("", self.sheet["job"]["id"], "", 0, draft.kind, draft.step, draft.attempt, draft.turn,
                      clock.at, clock.mono_s, clock.boot, self.cast.person.code, draft.data)  # fmt: skip
        self.state = apply(self.sheet, self.state, event)

    def _pass(self, seconds: float) -> None:
        self.now += timedelta(seconds=seconds)
        self.mono_s += seconds

    def _clock(self) -> Clock:
        at = self.now.isoformat(timespec="milliseconds").replace("+00:00", "Z")
        return Clock(at, round(self.mono_s, 3), self.boot)


_FORMS: dict[str, Callable[[Technician, Step, StepState], Given]] = {
    "confirm": lambda _self, _step, _was: {"do": "confirm"},
    "countersign": lambda _self, _step, _was: {"do": "countersign"},
    "choose": Technician._choose,
    "scan": Technician._scan,
    "measure": Technician._measure,
    "photo": Technician._photo,
    "wait": Technician._wait,
    "result": Technician._result,
}
