"""What a job in progress still takes, against sums that are done by hand or by trying every pair."""

from collections.abc import Sequence
from itertools import product
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.core.outlook import BIN_S, NOTHING, Outlook, outlook
from webapp.core.state import Clock, JobState, StepState

NOW = Clock("2026-03-06T10:10:00.000Z", 1000.0, "one")


def step(name: str, expect_s: float = 60.0, **more: Any) -> dict[str, Any]:
    about = {"id": name, "section": name.split("/")[0], "kind": "confirm", "only_if": {}, "expect_s": expect_s}
    return about | more


def choose(name: str) -> dict[str, Any]:
    options = [{"value": "stop", "blocks": "x"}, {"value": "tape", "blocks": None}, {"value": "frame", "blocks": None}]
    return step(name, kind="choose", asks="placing", options=options)


def look(
    steps: Sequence[dict[str, Any]],
    past: dict[str, list[float]],
    current: str | None = None,
    known: dict[str, StepState] | None = None,
    ago_s: float = 0.0,
    paused: str | None = None,
    answers: dict[str, str] | None = None,
) -> Outlook:
    """`past` has the seconds at each step in a row of finished jobs; a step that it lacks was never done."""

    def took(_section: str, names: Sequence[str]) -> Any:
        jobs = max((len(one) for one in past.values()), default=0)
        return np.array([past.get(name, [np.nan] * jobs) for name in names]).T.reshape(jobs, len(names))

    clock = Clock("", NOW.mono_s - ago_s, "one")
    state = JobState(
        steps=known or {}, current=current or steps[0]["id"], clock=clock, paused=paused, answers=answers or {}
    )
    return outlook({"steps": list(steps)}, state, NOW, took)


times = st.lists(st.integers(0, 300).map(lambda n: n * BIN_S), min_size=5, max_size=9)


@given(times, times, st.sampled_from([0.1, 0.5, 0.9, 0.95]))
def test_times_that_do_not_hang_on_each_other_add_up_as_all_their_pairs_do(
    one: list[float], other: list[float], p: float
) -> None:
    found = NOTHING.plus(np.array(one)).plus(np.array(other)).at(p)
    pairs = sorted(a + b for a, b in product(one, other))
    assert found == np.quantile(pairs, p, method="inverted_cdf")


def test_steps_of_one_section_are_added_job_by_job() -> None:
    found = look([step("a/1"), step("a/2")], {"a/1": [100, 200, 300, 400, 500], "a/2": [500, 400, 300, 200, 100]})
    assert found.left_s == (600, 600, 600)
    assert found.guessed == 0


def test_the_time_at_the_step_in_hand_is_taken_off_and_no_more_than_it_takes() -> None:
    past = {"a/1": [100.0] * 5, "b/1": [60.0] * 5}
    assert look([step("a/1"), step("b/1")], past, ago_s=40).left_s == (120, 120, 120)
    assert look([step("a/1"), step("b/1")], past, ago_s=400).left_s == (60, 60, 60)
    assert look([step("a/1"), step("b/1")], past, ago_s=400, paused="parts").left_s == (160, 160, 160)


def test_a_step_that_is_done_anew_begins_at_nothing() -> None:
    again = {"a/1": StepState(attempt=2, worked_s=90.0)}
    assert look([step("a/1")], {"a/1": [100.0] * 5}, known=again, ago_s=20).left_s == (80, 80, 80)


def test_a_step_that_waits_for_a_countersign_is_worked_already() -> None:
    held = {"a/1": StepState(status="held", worked_s=100.0)}
    found = look([step("a/1")], {"a/1": [100.0] * 5}, known=held, ago_s=500)
    assert found.left_s == (0, 0, 0)
    assert found.step_s == 100


def test_with_fewer_than_five_jobs_the_procedures_own_figure_stands_and_is_counted() -> None:
    found = look([step("a/1", 240), step("b/1")], {"a/1": [10.0] * 4 + [np.nan], "b/1": [60.0] * 5})
    assert found.left_s == (300, 300, 300)
    assert found.guessed == 1


def test_where_no_job_had_all_the_steps_each_stands_for_itself() -> None:
    past = {"a/1": [60.0] * 5 + [np.nan] * 5, "a/2": [np.nan] * 5 + [90.0] * 5}
    found = look([step("a/1"), step("a/2")], past)
    assert (found.left_s, found.guessed) == ((150, 150, 150), 0)


WAYS = [choose("a/how"), *(step(f"a/{way}", only_if={"placing": [way]}) for way in ("tape", "frame"))]


def test_what_hangs_on_an_answer_to_come_counts_as_often_as_it_came() -> None:
    none = np.nan
    past = {"a/how": [10.0] * 5, "a/tape": [300.0, 300, 300, none, none], "a/frame": [none] * 3 + [900.0, 900]}
    found = look(WAYS, past)
    assert found.left_s == (310, 310, 910)
    frames = {"a/how": [10.0] * 5, "a/tape": [none] * 5, "a/frame": [900.0] * 5}
    chosen = {"a/how": StepState(status="done", option="frame")}
    answered = look(WAYS, frames, current="a/frame", known=chosen, answers={"placing": "frame"})
    assert answered.left_s == (900, 900, 900)


def test_with_too_few_jobs_what_is_not_answered_yet_is_answered_as_usual() -> None:
    assert look([WAYS[0], step("a/tape", 240, only_if={"placing": ["tape"]}), WAYS[2]], {}).left_s == (300, 300, 300)


@pytest.mark.parametrize(("spent", "slow"), [(290.0, False), (310.0, True)])
def test_a_job_is_slow_beyond_19_of_20(spent: float, slow: bool) -> None:
    known = {"a/1": StepState(status="done", worked_s=spent)}
    past = {"a/1": [*np.linspace(100, 300, 41)], "b/1": [60.0] * 41}
    found = look([step("a/1"), step("b/1")], past, current="b/1", known=known)
    assert found.most_s == pytest.approx(290, abs=BIN_S)
    assert (found.usual_s, found.so_far_s, found.slow) == (200, spent, slow)
    assert not found.step_slow


def test_the_step_in_hand_is_slow_by_itself_where_the_job_is_not() -> None:
    known = {"a/1": StepState(status="done", worked_s=100.0)}
    past = {"a/1": [*np.linspace(100, 900, 9)], "b/1": [60.0] * 9}
    found = look([step("a/1"), step("b/1")], past, current="b/1", known=known, ago_s=200)
    assert (found.step_s, found.step_usual_s, found.step_slow) == (200, 60, True)
    assert not found.slow


def test_a_time_that_was_estimated_is_not_compared() -> None:
    known = {"a/1": StepState(status="done", worked_s=9000.0, estimated=True)}
    found = look([step("a/1"), step("b/1")], {"a/1": [100.0] * 5, "b/1": [60.0] * 5}, current="b/1", known=known)
    assert not found.slow
    assert found.so_far_s == 0
