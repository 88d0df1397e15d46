"""A decision made again: of phones that decide rightly nothing is told, however little they heard of each other."""

from dataclasses import dataclass, field, replace
from random import Random
from typing import Any

import pytest

from tests.sheets import APPRENTICE, KIT, SUPERVISOR, TECHNICIAN, Hands, every_kind
from tests.sync.phone import LABELS
from webapp.core.act import Draft, act
from webapp.core.check import Difference, check
from webapp.core.errors import BaybookError
from webapp.core.events import Event, next_round
from webapp.core.fold import apply, fold, step_of
from webapp.core.kinds import Moment
from webapp.core.kinds.common import Person
from webapp.core.knowledge import knew_all
from webapp.core.state import Clock, JobState, StepState

DAY = "2026-03-02"
PEOPLE = {one.code: one for one in (TECHNICIAN, APPRENTICE, SUPERVISOR)}
STARTED = Event("start", "job-1", "server", 1, "started", None, 1, 0, f"{DAY}T08:00:00.000Z", 1.0, "server-boot")
Sheet = dict[str, Any]


@dataclass
class Phone:
    """A phone with what it has heard of by now."""

    name: str
    person: Person
    sheet: Sheet
    dice: Random
    known: dict[str, Event] = field(default_factory=lambda: {STARTED.id: STARTED})
    seconds: int = 60

    @property
    def state(self) -> JobState:
        return fold(self.sheet, self.known.values())

    def own(self) -> dict[str, Event]:
        return {name: one for name, one in self.known.items() if one.device == self.name}

    def tap(self, name: str, **given: str) -> Event | None:
        """The event of this tap at that step; None where it is refused."""
        self.seconds += self.dice.choice((1, 10, 40))
        was = self.state.step(name)
        form = {"step": name, "attempt": str(was.attempt), "turn": str(was.turn), **given}
        try:
            return self.keep(act(self.sheet, self.state, form, moment_of(self.clock(), self.person, SUPERVISOR)))
        except BaybookError:
            return None

    def keep(self, draft: Draft) -> Event:
        last, seq, clock = max(one.place for one in self.known.values()), len(self.own()) + 1, self.clock()
        event = Event(
            f"{self.name}-{seq}", "job-1", self.name, seq, draft.kind, draft.step, draft.attempt, draft.turn,
            clock.at, clock.mono_s, clock.boot, self.person.code, draft.data, next_round(last, self.name),
        )  # fmt: skip
        self.known[event.id] = event
        return event

    def clock(self) -> Clock:
        return Clock(f"{DAY}T08:{self.seconds // 60:02}:{self.seconds % 60:02}.000Z", self.seconds, self.name)

    def work(self) -> None:
        """What the step at hand asks for, or now and then something else."""
        state, luck = self.state, self.dice.random()
        begun = sorted(name for name, was in state.steps.items() if was.turn)
        current = step_of(self.sheet, state.current or "")
        if luck < 0.1 and begun:
            self.tap(self.dice.choice(begun), do="undo", reason="Ticked too early.")
        elif luck < 0.18:
            self.tap("work/run", do="trouble", cause="0")
        elif luck < 0.22:
            self.tap("", do="note", text="Seen.")
        elif luck < 0.26 or state.paused:
            self.tap("", **({"do": "resume"} if state.paused else {"do": "pause", "reason": "break"}))
        elif current is None:
            self.tap("", do="finish")
        else:
            self.tap(current["id"], **form_of(current, state.step(current["id"]), self.dice))


def form_of(step: dict[str, Any], was: StepState, dice: Random) -> dict[str, str]:
    if was.status == "held":
        return {"do": "countersign"}
    if dice.random() < 0.08:
        return {"do": "leave-undone", "reason": "Not today."}
    forms: dict[str, list[dict[str, str]]] = {
        "choose": [{"option": one} for one in ("tape", "laser", "none")],
        "scan": [{"text": one, "via": "wedge"} for one in LABELS],
        "measure": [{"tyre": one} for one in ("240", "231", "249", "260")] + [{"do": "overrule", "reason": "Near."}],
        "photo": [{"sha256": f"{dice.getrandbits(256):064x}"}],
        "wait": [{"do": "start-wait"}, {}],
        "result": [{"outcome": "done"}, {"outcome": "failed", "text": "No"}, {"outcome": "not-run", "reason": "No."}],
    }
    return {"do": step["kind"], **dice.choice(forms.get(step["kind"], [{}]))}


def moment_of(clock: Clock, person: Person | None, witness: Person | None) -> Moment:
    return Moment(clock, DAY, KIT, person, witness)


def told(sheet: Sheet, events: list[Event]) -> list[tuple[Event, Difference]]:
    """What the server makes of all the phones' events."""
    found, state, before = [], fold(sheet, ()), list[Event]()
    for event in sorted(events, key=lambda one: one.place):
        if event.device != "server":
            people = (PEOPLE.get(code or "") for code in (event.person, event.data.get("by")))
            moment = moment_of(Clock(event.at, event.mono_s, event.boot), *people)
            checked = check(sheet, state, event, moment, lambda: knew_all(before, event))  # noqa: B023 - asked at once
            found += [(event, one) for one in checked.differences]
        state, before = apply(sheet, state, event), [*before, event]
    return found


def pair(dice: Random) -> tuple[Sheet, Phone, Phone]:
    sheet = every_kind()
    for step in sheet["steps"]:
        step["hold"] = dice.choice(("none", "none", "none", "apprentice", "everyone"))
    return sheet, Phone("a", TECHNICIAN, sheet, dice), Phone("b", APPRENTICE, sheet, dice)


@pytest.mark.parametrize("seed", range(60))
def test_of_two_phones_that_decide_rightly_nothing_is_told(seed: int) -> None:
    dice = Random(f"apart {seed}")
    sheet, one, other = pair(dice)
    home = {STARTED.id: STARTED}
    for _ in range(dice.randrange(10, 60)):
        phone, luck = dice.choice((one, other)), dice.random()
        if luck < 0.8:
            phone.work()
        elif luck < 0.9:
            home |= phone.own()
        else:
            phone.known |= home
    assert told(sheet, list({**one.known, **other.known}.values())) == []


def test_the_steps_that_a_cause_leads_back_to_are_not_told_where_another_phone_had_done_more() -> None:
    sheet, one, other = pair(Random(1))
    sheet["steps"][0]["hold"] = "none"
    assert one.tap("work/chock", do="confirm")
    sheet["steps"][7]["causes"][0]["redo"] = "work/chock"
    back = other.tap("work/run", do="trouble", cause="0")
    assert back
    assert back.data["steps"] == []
    assert fold(sheet, one.known.values()).step("work/chock").status == "done"
    assert told(sheet, [*one.known.values(), back]) == []

    # Whoever has heard of all that, and says otherwise, is told of.
    one.known |= other.own()
    again = one.tap("work/run", do="trouble", cause="0")
    assert again
    assert again.data["steps"] == ["work/chock"]
    assert told(sheet, list(one.known.values())) == []
    one.known[again.id] = replace(again, data={**again.data, "steps": []})
    assert [found.what for _, found in told(sheet, list(one.known.values()))] == ["steps"]


def test_a_phone_alone_that_ends_a_job_with_a_step_open_is_told_of() -> None:
    sheet, one, _other = pair(Random(1))
    assert one.tap("work/chock", do="confirm")
    early = one.keep(Draft("finished", None, 1, 0, {"open": []}))
    (found,) = told(sheet, list(one.known.values()))
    assert (found[0], found[1].what, found[1].phone) == (early, "steps-open", "finished")


def test_a_phone_alone_that_keeps_a_tap_of_an_old_page_is_told_of() -> None:
    sheet, one, _other = pair(Random(1))
    done = one.tap("work/chock", do="confirm")
    assert done
    twice = one.keep(Draft("confirmed", "work/chock", done.attempt, done.turn, done.data))
    ((event, found),) = told(sheet, list(one.known.values()))
    assert event == twice
    assert found.what in ("step-not-current", "step-held")


def event(device: str, seq: int, round_: int) -> Event:
    return replace(STARTED, id=f"{device}-{seq}", device=device, seq=seq, kind="noted", round=round_)


def test_what_a_maker_surely_knew() -> None:
    first, second = event("a", 1, 1), event("a", 2, 1)
    assert knew_all([], STARTED)
    assert knew_all([STARTED], first)
    assert knew_all([STARTED, first], second)
    # b heard of nothing since the start, and stands behind a all the same.
    assert not knew_all([STARTED, first, second], event("b", 1, 1))
    # b heard of a: of its first event surely, of its second perhaps.
    assert knew_all([STARTED, first], event("b", 1, 2))
    assert not knew_all([STARTED, first, second], event("b", 1, 2))
    # What it had heard of is not here, or is one of two phones'.
    assert not knew_all([STARTED, first], event("b", 1, 3))
    assert not knew_all([STARTED, first, event("b", 1, 1)], event("c", 1, 2))


def test_one_pair_of_hands_knows_all_of_its_own() -> None:
    at = Hands()
    at.to("sign")
    assert all(knew_all(at.events[:number], one) for number, one in enumerate(at.events))
