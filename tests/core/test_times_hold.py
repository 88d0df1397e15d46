"""Whatever happens to a job, no time is negative or counted twice, and its steps add up to its cycle time.

A job is worked by two phones, each by what it knows: they tap, pause, undo and find causes, are switched off and on,
have their clocks set, hear of each other late, and bring their journals home in any order.
"""

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from webapp.core.act import act
from webapp.core.clock import LONGEST_GUESS_S
from webapp.core.errors import BaybookError
from webapp.core.events import Event, new_id, next_round
from webapp.core.fold import fold
from webapp.core.kinds.common import Moment, Person
from webapp.core.state import PAUSES, Clock, JobState
from webapp.core.timing import JobTimes, job_times

CAMERA, RADAR = "forward-camera-static", "forward-radar-static"
BEGAN = datetime(2026, 3, 2, 8, tzinfo=UTC)
ILYA, ADA = Person("DC9XT3", "apprentice", "Ilya Sorensen"), Person("DH6RM4", "supervisor", "Ada Pereira")


def step(name: str, kind: str = "confirm", **more: Any) -> dict[str, Any]:
    about = {"id": name, "section": name.split("/")[0], "kind": kind, "do": name, "only_if": {}, "hold": "none"}
    return about | {"causes": [], "pairs": []} | more


def section(name: str, sort: str, *calibrations: str) -> dict[str, Any]:
    return {"id": name, "title": name, "sort": sort, "revision": 1, "calibrations": list(calibrations)}


WAYS = [{"value": way, "label": way, "blocks": None} for way in ("tape", "frame")]
CAUSES = [{"cause": "Board upside down", "redo": f"{CAMERA}/hang"}]
SHEET: dict[str, Any] = {
    "job": {"id": "J-1", "sort": "calibration", "qualifiers": {}, "bay": None},
    "vehicle": None,
    "calibrations": [{"id": CAMERA}, {"id": RADAR}],
    "sections": [
        section("vehicle-ready", "set-up", CAMERA, RADAR),
        section("floor-survey", "set-up", RADAR),
        section(CAMERA, "calibration", CAMERA),
        section(RADAR, "calibration", RADAR),
        section("clear-away", "closing", CAMERA, RADAR),
    ],
    "steps": [
        step("vehicle-ready/tyres"),
        step("vehicle-ready/chock", hold="apprentice"),
        step("floor-survey/points"),
        step(f"{CAMERA}/how", "choose", asks="placing", options=WAYS),
        step(f"{CAMERA}/tape", only_if={"placing": ["tape"]}),
        step(f"{CAMERA}/hang", hold="everyone"),
        step(f"{CAMERA}/run", "result", causes=CAUSES),
        step(f"{RADAR}/plate"),
        step(f"{RADAR}/run", "result"),
        step("clear-away/sweep"),
    ],
}


@dataclass
class Phone:
    """What one phone knows, and its clocks: `ahead_s` is how far its wall clock is off."""

    device: str
    known: dict[tuple[str, int], Event] = field(default_factory=dict)
    ahead_s: float = 0.0
    boots: int = 1
    booted_s: float = 0.0
    seq: int = 0

    @property
    def state(self) -> JobState:
        return fold(SHEET, self.known.values())

    def clock(self, true_s: float) -> Clock:
        at = BEGAN + timedelta(seconds=true_s + self.ahead_s)
        instant = at.isoformat(timespec="milliseconds").replace("+00:00", "Z")
        return Clock(instant, round(true_s - self.booted_s, 3), f"{self.device}-{self.boots}")

    def tap(self, form: dict[str, str], true_s: float) -> None:
        """What the page would send, if the guard takes it."""
        state, clock = self.state, self.clock(true_s)
        try:
            draft = act(SHEET, state, form, Moment(clock, "2026-03-02", {}, ILYA, ADA))
        except BaybookError:
            return
        self.keep(draft.kind, draft.step, draft.attempt, draft.turn, clock, draft.data)

    def keep(self, kind: str, name: str | None, attempt: int, turn: int, clock: Clock, data: dict[str, Any]) -> None:
        self.seq += 1
        last = max((event.place for event in self.known.values()), default=None)
        event = Event(
            id=new_id(0),
            job="J-1",
            device=self.device,
            seq=self.seq,
            kind=kind,
            step=name,
            attempt=attempt,
            turn=turn,
            at=clock.at,
            mono_s=clock.mono_s,
            boot=clock.boot,
            person=ILYA.code,
            data=data,
            round=next_round(last, self.device),
        )
        self.known[event.device, event.seq] = event


Story = list[tuple[str, int, float, int]]
HAPPENS = ("tap",) * 8 + ("pause", "resume", "undo", "trouble", "leave", "reboot", "set-clock", "meet", "finish")
happening = st.tuples(
    st.sampled_from(HAPPENS), st.integers(0, 1), st.integers(0, 30_000).map(lambda ms: ms / 10), st.integers(0, 9)
)


def on_step(state: JobState, number: int) -> dict[str, str]:
    """The tap that ends the step at hand, one way or another."""
    name = state.current or ""
    was = state.step(name)
    kind = next((one["kind"] for one in SHEET["steps"] if one["id"] == name), "confirm")
    ends = {
        "confirm": {"do": "confirm"},
        "choose": {"do": "choose", "option": ("tape", "frame")[number % 2]},
        "result": {"do": "result", "outcome": "failed" if number > 6 else "done", "text": "Not found"},
    }
    do = {"do": "countersign"} if was.status == "held" else ends[kind]
    return do | {"step": name, "attempt": str(was.attempt), "turn": str(was.turn)}


def form_for(what: str, state: JobState, number: int) -> dict[str, str]:
    done = [name for name, one in state.steps.items() if one.status == "done"]
    undone = done[number % len(done)] if done else "vehicle-ready/tyres"
    at_hand = on_step(state, number)
    return {
        "tap": at_hand,
        "leave": at_hand | {"do": "leave-undone", "reason": "No time."},
        "trouble": at_hand | {"do": "trouble", "cause": "0"},
        "pause": {"do": "pause", "reason": PAUSES[number % len(PAUSES)]},
        "resume": {"do": "resume"},
        "undo": {"do": "undo", "step": undone, "attempt": str(state.step(undone).attempt), "reason": "Too early."},
        "finish": {"do": "finish"},
    }[what]


def play(story: Story, *, clocks: bool = True) -> tuple[list[Event], float]:
    """All events of the story, and how many seconds it really lasted. Without `clocks` nobody sets a wall clock."""
    phones = [Phone("phone-a"), Phone("phone-b")]
    phones[0].keep("started", None, 1, 0, phones[0].clock(0), {"sheet": ""})
    phones[1].known |= phones[0].known
    true_s = last_s = 0.0
    for what, which, after_s, number in story:
        true_s += after_s
        phone = phones[which]
        before = len(phone.known)
        if what == "meet":
            phones[0].known |= phones[1].known
            phones[1].known |= phones[0].known
        elif what == "reboot":
            phone.boots, phone.booted_s = phone.boots + 1, true_s
        elif what == "set-clock":
            phone.ahead_s = (number - 4) * 7_200.0 if clocks else 0.0
        else:
            phone.tap(form_for(what, phone.state, number), true_s)
            last_s = true_s if len(phone.known) > before else last_s
    return list((phones[0].known | phones[1].known).values()), last_s


def counted(times: JobTimes) -> list[float]:
    every = [times.worked_s, times.waited_s, times.unshared_s, *times.pauses_s.values()]
    for one in (*times.steps, *times.calibrations):
        every += [one.waited_s, *((one.worked_s,) if hasattr(one, "worked_s") else (one.own_s, one.shared_s))]
    return every


stories = st.lists(happening, max_size=60)


@settings(max_examples=150)
@given(stories)
def test_no_time_is_negative_or_wild_whatever_the_clocks_do(story: Story) -> None:
    events, _ = play(story)
    times = job_times(SHEET, fold(SHEET, events))
    assert all(0 <= seconds <= LONGEST_GUESS_S * len(events) for seconds in counted(times))


def told_s(events: list[Event]) -> float:
    times = job_times(SHEET, fold(SHEET, events))
    return times.worked_s + times.waited_s + sum(times.pauses_s.values())


@settings(max_examples=150)
@given(stories)
def test_phones_that_take_turns_count_no_more_than_the_time_that_passed(story: Story) -> None:
    """Each hears of the other before it goes on; nobody sets a clock, but they are switched off and on."""
    turns = [one for what, which, *rest in story for one in (("meet", which, 0.0, 0), (what, which, *rest))]
    events, lasted_s = play(turns, clocks=False)
    assert told_s(events) <= lasted_s + 0.01 * len(events)


@settings(max_examples=150)
@given(stories)
def test_no_time_is_counted_twice_where_two_phones_worked_at_once(story: Story) -> None:
    """Two at work at once work twice the time; what each did counts once, whenever it is heard of."""
    events, lasted_s = play(story, clocks=False)
    own_s = [
        max((datetime.fromisoformat(event.at) - BEGAN).total_seconds() for event in events if event.device == device)
        for device in {event.device for event in events}
    ]
    assert max(own_s) == pytest.approx(lasted_s, abs=0.01)
    assert told_s(events) <= sum(own_s) + 0.01 * len(events)


@settings(max_examples=100)
@given(stories)
def test_on_one_phone_that_stays_on_every_second_is_counted_once(story: Story) -> None:
    alone = [(what, 0, after_s, number) for what, _, after_s, number in story if what not in ("reboot", "meet")]
    events, lasted_s = play(alone)
    assert told_s(events) == pytest.approx(lasted_s, abs=0.001 * len(events))
    assert not fold(SHEET, events).estimated


@settings(max_examples=150)
@given(stories)
def test_the_steps_add_up_to_the_cycle_times(story: Story) -> None:
    events, _ = play(story)
    times = job_times(SHEET, fold(SHEET, events))
    close = {"rel": 1e-9, "abs": 1e-6}
    assert sum(one.worked_s for one in times.steps) == pytest.approx(times.worked_s, **close)
    cycles = sum(one.own_s + one.shared_s for one in times.calibrations)
    assert cycles + times.unshared_s == pytest.approx(times.worked_s, **close)
    assert sum(one.waited_s for one in times.calibrations) == pytest.approx(times.waited_s, **close)
    for one in times.calibrations:
        mine = [each for each in times.steps if one.calibration in each.serves]
        whole = sum(each.worked_s / len(each.serves) for each in mine)
        assert one.own_s + one.shared_s == pytest.approx(whole, **close)


@settings(max_examples=100)
@given(stories, st.integers(0, 2**32))
def test_it_changes_nothing_in_which_order_or_how_often_journals_come_home(story: Story, seed: int) -> None:
    events, _ = play(story)
    shuffled = list(events)
    Random(seed).shuffle(shuffled)
    assert job_times(SHEET, fold(SHEET, shuffled)) == job_times(SHEET, fold(SHEET, events))


def test_the_stories_do_reach_what_they_are_about() -> None:
    """Else the properties would hold of nothing: undone steps, pauses, broken clocks, two phones at once, an end."""
    dice, seen = Random(7), set()
    for _ in range(60):
        story = [(dice.choice(HAPPENS), dice.randrange(2), dice.uniform(0, 900), dice.randrange(10)) for _ in range(80)]
        events, _ = play(story)
        state = fold(SHEET, events)
        seen |= {event.kind for event in events}
        seen |= {"estimated"} if state.estimated else set()
        events, _ = play(story, clocks=False)
        by_place = sorted(events, key=lambda event: event.place)
        seen |= {"apart"} if by_place != sorted(by_place, key=lambda event: event.at) else set()
    assert seen >= {"undone", "troubled", "paused", "resumed", "countersigned", "finished", "estimated", "apart"}
