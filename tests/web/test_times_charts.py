"""Where the marks of a chart lie: to scale, apart, and honest about what does not fit."""

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.core.statistics import summary
from webapp.web.times.charts import LIFTS, MOST_DOTS, WIDE, Value, axis_for, key_of, run, strip

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
    assert key_of(found) == ["job"]


def test_five_jobs_have_a_median_and_six_an_interval_of_it() -> None:
    seconds = [600.0, 660, 720, 780, 840, 900]
    five, six = values(*seconds[:5]), values(*seconds)
    axis = axis_for(six)
    assert strip(five, axis, summary(seconds[:5])).interval is None
    assert strip(six, axis, summary(seconds)).interval == (axis.at(600), axis.at(900))


def test_a_job_far_above_the_usual_is_pointed_out_and_one_far_below_is_not() -> None:
    usual = [600.0, 620, 590, 610, 600, 630, 595, 605, 615, 600, 610, 590, 600, 620]
    assert [spot.notice for spot in run(values(*usual, 1000), None).spots] == [False] * 14 + [True]
    assert not any(spot.notice for spot in run(values(*usual, 300), None).spots)


def test_eleven_jobs_are_too_few_for_a_limit() -> None:
    assert run(values(*[600.0] * 10, 3000), None).limit is None
    assert not any(spot.notice for spot in run(values(*[600.0] * 10, 3000), None).spots)


def test_estimated_jobs_neither_move_the_limit_nor_are_pointed_out() -> None:
    usual = [600.0, 620, 590, 610, 600, 630, 595, 605, 615, 600, 610, 590, 600, 620]
    with_estimate = [*values(*usual), Value(30_000, "estimated")]
    assert run(with_estimate, None).limit == run(values(*usual), None).limit
    assert not any(spot.notice for spot in run(with_estimate, None).spots)


def test_the_key_names_what_is_drawn_and_nothing_else() -> None:
    seconds = [600.0, 620, 590, 610, 600, 630, 595, 605, 615, 600, 610, 590, 600, 620, 640]
    drawn = [*values(*seconds[:-1]), Value(640, "again")]
    assert key_of(run(drawn, summary(seconds))) == ["job", "again", "median", "p80", "limit"]
    assert key_of(run([], None)) == []
