"""What a chart is drawn from: the shop's own figures, in minutes, and honest about what does not fit."""

import numpy as np
import pytest
from flask.testing import FlaskClient
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy.engine import Engine

from tests.cast import ADA, ILYA, scan_badge
from tests.web.charts import charts_of
from webapp.core.learning import curve
from webapp.core.statistics import summary
from webapp.web.times.charts import MOST_MARKS, Value, bar, bars, learned, reach_s, run, strip, trend
from webapp.web.times.figures import Bin, Group

from .test_times import CAMERA, counted, times

SECONDS = st.lists(st.floats(min_value=0, max_value=40_000, allow_nan=False), min_size=1, max_size=40)
USUAL = [600.0, 620, 590, 610, 600, 630, 595, 605, 615, 600, 610, 590, 600, 620]


def values(*seconds: float) -> list[Value]:
    return [Value(one) for one in seconds]


@given(SECONDS)
def test_a_scale_reaches_some_way_and_no_further_than_the_longest_job(seconds: list[float]) -> None:
    assert 5 <= reach_s(values(*seconds)) <= max(5, *seconds)
    assert reach_s(values(*seconds), 50_000) == 50_000


def test_one_forgotten_phone_does_not_flatten_the_others() -> None:
    assert reach_s(values(*[600.0] * 20, 30_000)) == 1200
    assert reach_s([]) == 5


def test_an_estimated_time_does_not_stretch_the_scale() -> None:
    assert reach_s([*values(600, 700), Value(20_000, "estimated")]) == reach_s(values(600, 700)) == 700


def test_every_job_is_a_mark_up_to_the_latest_hundred_and_fifty() -> None:
    told = strip(values(*(60.0 * number for number in range(400))), 600)
    assert [one["minutes"] for one in told["marks"]] == list(range(400 - MOST_MARKS, 400))
    assert told["top"] == 10


def test_a_job_far_above_the_usual_is_pointed_out_and_one_far_below_is_not() -> None:
    assert [one.get("notice") for one in run(values(*USUAL, 1000)).drawn["marks"]] == [None] * 14 + [True]
    assert not any("notice" in one for one in run(values(*USUAL, 300)).drawn["marks"])


def test_eleven_jobs_are_too_few_for_a_limit() -> None:
    told = run(values(*[600.0] * 10, 3000)).drawn
    assert told["lines"] == []
    assert not any("notice" in one for one in told["marks"])


def test_the_lines_are_those_of_the_individuals_chart_with_their_figures() -> None:
    found = run(values(*USUAL))
    assert found.figures
    lines = [(one["line"], one["minutes"]) for one in found.drawn["lines"]]
    expected = (("mean", found.figures.mean), ("limit", found.figures.high), ("low", found.figures.low))
    assert lines == [(name, round(at / 60, 3)) for name, at in expected]
    assert found.drawn["top"] == lines[1][1]


def test_a_limit_that_would_flatten_the_jobs_is_left_to_the_words() -> None:
    found = run(values(*[100.0, 900.0] * 8))
    assert found.figures
    assert found.figures.high > 2 * found.figures.mean
    assert [one["line"] for one in found.drawn["lines"]] == ["mean"]
    assert found.drawn["top"] == 15


def test_estimated_jobs_neither_move_the_limit_nor_are_pointed_out() -> None:
    told = run([*values(*USUAL), Value(30_000, "estimated")]).drawn
    assert told["lines"] == run(values(*USUAL)).drawn["lines"]
    assert not any("notice" in one for one in told["marks"])
    assert told["marks"][-1]["minutes"] > told["top"]


def test_the_key_names_what_is_drawn_and_nothing_else() -> None:
    assert run([*values(*USUAL), Value(640, "again")]).key == ("job", "again", "mean", "limit")
    assert run([*values(*USUAL), Value(3000)]).key == ("job", "beyond", "mean", "limit", "notice")
    assert run([]).key == ()


def test_points_that_complete_a_rule_are_named_once_a_run() -> None:
    found = run(values(*[580.0, 620.0] * 7, *[597.0] * 10, 1000))
    assert [one.rule for one in found.noted] == ["eight-in-a-row", "beyond-limit"]
    assert [one["letter"] for one in found.drawn["marks"] if "letter" in one] == [one.letter for one in found.noted]
    row = next(one for one in found.noted if one.rule == "eight-in-a-row")
    assert row.more == 2
    assert row.value.seconds == 597


def test_a_trend_has_each_groups_median_with_where_it_lies_in_time() -> None:
    groups = [Group(day, day + 2, 5, summary([600.0 + 10 * day + one for one in range(6)])) for day in (0, 10, 40)]
    told = trend(groups)
    assert told is not None
    assert [one["at"] for one in told["points"]] == [1, 11, 41]
    for one, group in zip(told["points"], groups, strict=True):
        interval = group.found.median_interval
        assert interval
        expected = [round((at or 0) / 60, 3) for at in (interval.low, group.found.median, interval.high)]
        assert [one["low"], one["minutes"], one["high"]] == expected
    assert told["top"] == told["points"][-1]["high"]
    assert trend([]) is None


def test_a_distribution_has_its_bins_and_the_two_lines_with_their_words() -> None:
    bins = [Bin(0, 300, 2), Bin(300, 600, 5), Bin(600, None, 1)]
    told = bars(bins, summary(list(np.linspace(100, 900, 8))))
    assert told is not None
    assert [(one["low"], one["high"], one["n"]) for one in told["bins"]] == [(0, 5, 2), (5, 10, 5), (10, None, 1)]
    assert [one["say"] for one in told["lines"]] == ["half within 8.3", "4 of 5 within 12"]
    assert bars(bins, None) is None
    assert bars([], summary([1.0] * 5)) is None


def test_a_learning_curve_runs_from_the_first_to_the_last_of_the_jobs_that_count() -> None:
    nth, seconds = range(3, 15), [6000 * n**-0.4 for n in range(3, 15)]
    found = curve(list(nth), seconds)
    assert found
    told = learned(list(nth), seconds, found)
    assert told is not None
    assert [one["nth"] for one in told["marks"]] == list(nth)
    assert [told["curve"][end][0] for end in (0, -1)] == [3, 14]
    assert told["curve"][0][1] == pytest.approx(seconds[0] / 60, abs=0.01)
    assert told["top"] >= max(one["minutes"] for one in told["marks"])
    assert learned([], [], None) is None


def test_jobs_that_show_no_learning_get_no_curve() -> None:
    nth, seconds = range(1, 13), [600.0, 900.0] * 6
    found = curve(list(nth), seconds)
    assert found
    assert not found.shown
    told = learned(list(nth), seconds, found)
    assert told
    assert told["curve"] == []
    assert len(told["marks"]) == 12


def test_a_steps_bar_ends_at_its_median_on_the_scale_of_the_longest() -> None:
    found = summary([60.0] * 3 + [120.0] * 3 + [600.0])
    assert found
    assert bar(found, 1200) == {"top": 20, "median": 2, "p80": round(found.p80 / 60, 3)}


def test_the_page_of_a_type_draws_its_own_jobs_and_each_leads_to_its_record(
    pages: FlaskClient, history_engine: Engine
) -> None:
    text = pages.get(f"/times/{CAMERA}").text
    drawn = {one.kind: one for one in charts_of(text)}
    done = [row for row in times(history_engine, CAMERA) if row.outcome == "done"]
    marks = drawn["run"].told["marks"]
    assert [one["to"] for one in marks] == [f"/jobs/{row.job}/record" for row in done]
    assert [one["minutes"] for one in marks] == [round(row.own_s / 60, 3) for row in done]
    assert [one["mark"] == "estimated" for one in marks] == [row.estimated for row in done]
    assert sum(one["n"] for one in drawn["bars"].told["bins"]) == len(counted(done))
    for row in done:  # the table behind it
        assert text.count(f'<th scope="row"><a href="/jobs/{row.job}/record">') >= 1


def test_the_figures_of_a_chart_come_with_the_decimal_sign_of_the_language(pages: FlaskClient) -> None:
    english = pages.get("/times/kit").text
    spanish = pages.get("/times/kit", headers={"Accept-Language": "es"}).text
    assert 'data-point="."' in english
    assert 'data-point=","' in spanish
    assert [one.told for one in charts_of(english)] == [one.told for one in charts_of(spanish)]


def test_an_apprentices_jobs_are_drawn_in_their_order(pages: FlaskClient) -> None:
    scan_badge(pages, ADA)
    drawn = charts_of(pages.get(f"/times/learning/{ILYA.badge}").text)
    assert drawn
    for one in drawn:
        numbers = [mark["nth"] for mark in one.told["marks"]]
        assert one.kind == "learned"
        assert numbers == sorted(set(numbers))
