"""Where the marks of a chart lie: to scale, apart, and honest about what does not fit."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.core.statistics import summary
from webapp.web.times.charts import LIFTS, MOST_DOTS, WIDE, Value, axis_for, key_of, run, strip, trend
from webapp.web.times.figures import Group

SECONDS = st.lists(st.floats(min_value=0, max_value=40_000, allow_nan=False), min_size=1, max_size=40)


def values(*seconds: float) -> list[Value]:
    return [Value(one) for one in seconds]


@given(SECONDS)
def test_an_axis_has_few_round_ticks_and_begins_with_nothing(seconds: list[float]) -> None:
    axis = axis_for(values(*seconds))
    assert 2 <= len(axis.ticks_s) <= 8
    assert axis.ticks_s[0] == 0
    assert axis.ticks_s[-1] == axis.top_s


def test_places_are_in_proportion_to_the_time() -> None:
    axis = axis_for(values(600, 1200, 1800))
    assert axis.at(1800) - axis.at(1200) == pytest.approx(axis.at(1200) - axis.at(600), abs=0.02)
    assert axis.at(600) - axis.at(0) == pytest.approx(axis.at(1200) - axis.at(600), abs=0.02)


def test_one_forgotten_phone_does_not_flatten_the_others_and_is_drawn_as_an_arrow_at_the_end() -> None:
    seconds = [600.0] * 20 + [30_000.0]
    axis = axis_for(values(*seconds))
    assert axis.top_s <= 1800
    dots = strip(values(*seconds), axis, None).dots
    assert [dot.beyond for dot in dots] == [False] * 20 + [True]
    assert dots[-1].x == axis.at(axis.top_s)


def test_an_estimated_time_does_not_stretch_the_axis() -> None:
    assert axis_for([*values(600, 700), Value(20_000, "estimated")]).top_s == axis_for(values(600, 700)).top_s


@given(st.lists(st.floats(min_value=300, max_value=900, allow_nan=False), min_size=1, max_size=15))
def test_dots_on_one_line_do_not_cover_each_other_while_there_is_room(seconds: list[float]) -> None:
    spread = values(*(number * 60 + one / 100 for number, one in enumerate(seconds)))
    dots = strip(spread, axis_for(spread), None).dots
    for lift in LIFTS:
        line = sorted(dot.x for dot in dots if dot.lift == lift)
        assert all(right - left >= WIDE - 0.01 for left, right in pairwise(line))


def test_every_job_is_a_dot_up_to_the_latest_hundred_and_fifty() -> None:
    many = values(*(600.0 + number for number in range(400)))
    assert len(strip(many[:MOST_DOTS], axis_for(many), None).dots) == MOST_DOTS
    assert len(strip(many, axis_for(many), None).dots) == MOST_DOTS


def test_without_enough_jobs_there_is_neither_median_nor_interval() -> None:
    four = values(600, 700, 800, 900)
    found = strip(four, axis_for(four), summary([one.seconds for one in four]))
    assert (found.median, found.p80, found.interval) == (None, None, None)


def test_five_jobs_have_a_median_and_six_an_interval_of_it() -> None:
    seconds = [600.0, 660, 720, 780, 840, 900]
    five, six = values(*seconds[:5]), values(*seconds)
    axis = axis_for(six)
    assert strip(five, axis, summary(seconds[:5])).interval is None
    assert strip(six, axis, summary(seconds)).interval == (axis.at(600), axis.at(900))


def test_a_job_far_above_the_usual_is_pointed_out_and_one_far_below_is_not() -> None:
    usual = [600.0, 620, 590, 610, 600, 630, 595, 605, 615, 600, 610, 590, 600, 620]
    assert [spot.notice for spot in run(values(*usual, 1000)).spots] == [False] * 14 + [True]
    assert not any(spot.notice for spot in run(values(*usual, 300)).spots)


def test_eleven_jobs_are_too_few_for_a_limit() -> None:
    assert run(values(*[600.0] * 10, 3000)).limit is None
    assert not any(spot.notice for spot in run(values(*[600.0] * 10, 3000)).spots)


def test_estimated_jobs_neither_move_the_limit_nor_are_pointed_out() -> None:
    usual = [600.0, 620, 590, 610, 600, 630, 595, 605, 615, 600, 610, 590, 600, 620]
    with_estimate = [*values(*usual), Value(30_000, "estimated")]
    assert run(with_estimate).limit == run(values(*usual)).limit
    assert not any(spot.notice for spot in run(with_estimate).spots)


def test_the_key_names_what_is_drawn_and_nothing_else() -> None:
    seconds = [600.0, 620, 590, 610, 600, 630, 595, 605, 615, 600, 610, 590, 600, 620, 640]
    drawn = [*values(*seconds[:-1]), Value(640, "again")]
    assert key_of(run(drawn)) == ["job", "again", "mean", "limit"]
    assert key_of(run([])) == []


def test_points_that_complete_a_rule_are_named_once_a_run() -> None:
    found = run(values(*[580.0, 620.0] * 7, *[597.0] * 10, 1000))
    assert [one.rule for one in found.noted] == ["eight-in-a-row", "beyond-limit"]
    assert {one.letter for one in found.noted} == {spot.letter for spot in found.spots if spot.letter}
    row = next(one for one in found.noted if one.rule == "eight-in-a-row")
    assert row.more == 2
    assert row.value.seconds == 597


def test_a_trend_begins_at_the_foot_and_lies_in_time() -> None:
    groups = [Group(day, day + 2, 5, summary([600.0 + 10 * day + one for one in range(6)])) for day in (0, 10, 40)]
    found = trend(groups, 100.0)
    assert found is not None
    assert [one.x for one in found.points] == sorted(one.x for one in found.points)
    assert found.points[1].x - found.points[0].x < found.points[2].x - found.points[1].x
    assert found.points[2].y < found.points[0].y < 100
    assert trend([], 100.0) is None
