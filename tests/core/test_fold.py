"""The fold: time adds up and is never wild, whatever clocks and hands did; the state depends on the events alone."""

from dataclasses import asdict, replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.sheets import SUPERVISOR, Hands, every_kind
from webapp.core.clock import LONGEST_GUESS_S, interval_s, told_s
from webapp.core.errors import BaybookError
from webapp.core.events import Event
from webapp.core.fold import apply, fold, step_of
from webapp.core.state import Clock, JobState

# What a hand may do, in any order; what the guard refuses is simply not kept.
TAPS = st.sampled_from(
    [
        ("confirm", {}),
        ("choose", {"option": "laser"}),
        ("choose", {"option": "tape"}),
        ("choose", {"option": "none"}),
        ("measure", {"tyre": "240"}),
        ("measure", {"tyre": "248"}),
        ("measure", {"tyre": "300"}),
        ("photo", {"sha256": "b" * 64}),
        ("start-wait", {}),
        ("wait", {}),
        ("result", {"outcome": "done"}),
        ("result", {"outcome": "failed", "text": "no aim"}),
        ("countersign", {}),
        ("leave-undone", {"reason": "cannot"}),
        ("undo", {"step": "work/chock", "attempt": "1", "reason": "again"}),
        ("trouble", {"cause": "0"}),
        ("pause", {"reason": "break"}),
        ("resume", {}),
        ("note", {"text": "seen"}),
    ]
)
SECONDS = st.floats(0, 5000)
# After a tap the phone may have been restarted (a new boot), with a wall clock that jumped by up to a day either way.
CLOCKS = st.one_of(st.none(), st.floats(-86_400, 86_400))


def spent(state: JobState) -> float:
    return sum(one.worked_s + one.waited_s for one in state.steps.values()) + sum(state.pauses_s.values())


@settings(max_examples=120, deadline=None)
@given(st.lists(st.tuples(TAPS, SECONDS, CLOCKS), max_size=30))
def test_no_time_is_negative_doubled_or_lost(
    taps: list[tuple[tuple[str, dict[str, str]], float, float | None]],
) -> None:
    hands = Hands(witness=SUPERVISOR)
    for number, ((do, given_), after_s, jump_s) in enumerate(taps):
        try:
            hands.tap(do, after_s, **given_)
        except BaybookError:
            continue
        if jump_s is not None:
            hands.boot, hands.mono_s = f"boot-{number + 2}", 5.0
            hands.wall_s += jump_s
    state = hands.state
    moments = [Clock(event.at, event.mono_s, event.boot) for event in hands.events]
    total = sum(interval_s(before, after)[0] for before, after in pairwise(moments))
    assert abs(spent(state) - total) < 0.01
    assert all(one.worked_s >= 0 and one.waited_s >= 0 for one in state.steps.values())


@settings(max_examples=60, deadline=None)
@given(st.lists(TAPS, max_size=20), st.integers(0, 20))
def test_folding_in_two_parts_is_folding_at_once(taps: list[tuple[str, dict[str, str]]], cut: int) -> None:
    hands = Hands(witness=SUPERVISOR)
    for do, given_ in taps:
        try:
            hands.tap(do, **given_)
        except BaybookError:
            continue
    early = fold(hands.sheet, hands.events[:cut])
    assert asdict(fold(hands.sheet, hands.events[cut:], early)) == asdict(hands.state)


def test_a_restart_makes_the_time_an_estimate_from_the_wall_clock() -> None:
    hands = Hands()
    hands.boot, hands.mono_s = "boot-2", 3.0
    state = hands.tap("confirm", after_s=90)
    assert state.step("work/chock").worked_s == 90.0
    assert state.step("work/chock").estimated
    assert not hands.tap("choose", option="tape").step("work/placing").estimated


def test_a_clock_set_back_gives_nought_and_a_night_away_is_not_believed_whole() -> None:
    before = Clock("2026-03-02T08:00:00.000Z", 500.0, "a")
    assert interval_s(before, Clock("2026-03-02T07:00:00.000Z", 1.0, "b")) == (0.0, True)
    assert interval_s(before, Clock("2026-03-09T08:00:00.000Z", 1.0, "b")) == (LONGEST_GUESS_S, True)
    assert interval_s(before, Clock("2020-01-01T00:00:00.000Z", 512.5, "a")) == (12.5, False)


def wall(seconds: float) -> str:
    return (datetime(2026, 3, 2, 8, tzinfo=UTC) + timedelta(seconds=seconds)).isoformat(timespec="milliseconds")


def alternating(real_s: list[float], ahead_of_a_s: float) -> list[Event]:
    """Notes that two phones made by turns; B's clock goes so many seconds before A's."""
    made = []
    for number, at_s in enumerate(real_s):
        device, offset_s = ("b", ahead_of_a_s) if number % 2 else ("a", 0.0)
        made.append(
            replace(
                Hands().events[0],
                id=f"00000000-0000-7000-8000-{number:012d}",
                kind="noted",
                data={"text": "seen"},
                device=device,
                seq=number // 2 + 1,
                round=number,
                at=wall(at_s + offset_s),
                mono_s=100.0 + at_s,
                boot=f"boot-{device}",
            )
        )
    return made


@settings(max_examples=100, deadline=None)
@given(st.lists(st.integers(0, 900), min_size=2, max_size=20), st.integers(-3600, 3600))
def test_phones_taking_turns_never_count_more_than_the_wall_did(gaps_s: list[int], ahead_of_a_s: int) -> None:
    real_s = [float(sum(gaps_s[: number + 1])) for number in range(len(gaps_s))]
    events = alternating(real_s, ahead_of_a_s)
    state = fold(every_kind(), events)
    walls = [datetime.fromisoformat(event.at) for event in events]
    assert spent(state) <= (max(walls) - walls[0]).total_seconds() + 0.01
    assert state.estimated


def test_two_phones_whose_clocks_agree_count_what_went_by() -> None:
    assert spent(fold(every_kind(), alternating([0, 60, 130, 150, 400], 0))) == 400.0


def test_a_phone_whose_clock_was_set_back_begins_to_count_anew() -> None:
    before = Clock("2026-03-02T08:00:00.000Z", 500.0, "a")
    set_back = Clock("2026-03-02T07:00:00.000Z", 1.0, "b")
    assert told_s(before, set_back, 0.0, elsewhere=False) == (0.0, True, 0.0)
    assert told_s(before, set_back, 0.0, elsewhere=True) == (0.0, True, 3600.0)
    assert told_s(set_back, Clock("2026-03-02T08:30:00.000Z", 9.0, "a"), 3600.0, elsewhere=True) == (1800.0, True, 0.0)


def test_an_event_about_a_step_the_sheet_does_not_have_changes_nothing_but_the_clock() -> None:
    hands = Hands()
    stranger = replace(hands.events[0], kind="confirmed", step="elsewhere/step", mono_s=1060.0)
    after = apply(every_kind(), hands.state, stranger)
    assert after.step("work/chock").status == "open"
    assert after.current == "work/chock"
    assert after.clock == Clock(stranger.at, 1060.0, stranger.boot)


def test_time_between_the_last_step_and_the_end_is_nobodys_step() -> None:
    hands = Hands(witness=SUPERVISOR)
    hands.to("sign")
    hands.tap("countersign")
    state = hands.tap("finish", after_s=42.0)
    assert state.pauses_s == {"finishing": 42.0}


def test_of_two_steps_with_one_id_the_first_is_found() -> None:
    sheet = every_kind()
    first = sheet["steps"][0]
    sheet["steps"].append(first | {"do": "Do it again."})
    assert step_of(sheet, first["id"]) is first
    assert step_of(sheet, "work/nothing") is None
