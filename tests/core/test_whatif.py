"""What a plan of a day would bring: told with how sure it is, and with what it is short of."""

from math import inf

import numpy as np
import pytest
from scipy import stats

from webapp.core.errors import BadInput
from webapp.core.whatif import FEWEST_JOBS, PAIR, Past, Trial, mean_of, what_if
from webapp.core.workday import Capacity, Work

HOUR = 3600.0
PAST = [
    Past(("camera",), Work(30 * 60.0 + 60 * number, 0.0, ((40 * 60.0 + 30 * number, True),))) for number in range(30)
]
ROAD = [Past(("road",), Work(600.0, 0.0, ((3000.0, False),)))] * 30


def trial(bays: int = 2, technicians: int = 2, stands: int = 2, arrivals: float = 8, **more: object) -> Trial:
    about = {"hours": 9.0, "way": "random", "mix": {}} | more
    return Trial(capacity=Capacity(bays, technicians, stands), arrivals=arrivals, **about)  # type: ignore[arg-type]


def test_a_mean_stands_with_students_interval_and_the_days_own_range() -> None:
    values = np.random.default_rng(1).poisson(6, 80).astype(float)
    found = mean_of(values)
    interval = stats.ttest_1samp(values, 0).confidence_interval(0.95)
    assert (found.low, found.high) == pytest.approx((interval.low, interval.high))
    assert (found.day_low, found.day_high) == tuple(np.quantile(values, [0.1, 0.9]))


def test_the_same_plan_comes_to_the_same_every_time() -> None:
    assert what_if(trial(), PAST) == what_if(trial(), PAST)


@pytest.mark.parametrize(
    ("short_of", "plan"),
    [
        ("bays", trial(bays=1, technicians=6, stands=6)),
        ("technicians", trial(bays=6, technicians=1, stands=6)),
        ("stands", trial(bays=8, technicians=8, stands=1, arrivals=14)),
    ],
)
def test_the_bottleneck_is_what_there_is_too_little_of(short_of: str, plan: Trial) -> None:
    found = what_if(plan, PAST)
    assert found.bottleneck is not None
    assert found.bottleneck.resource == short_of
    others = [one for one in found.more if one.resource not in (short_of, PAIR)]
    assert all(one.gain.mean < found.bottleneck.gain.mean for one in others)


def test_a_bay_and_a_person_are_short_together_where_neither_helps_alone() -> None:
    found = what_if(trial(bays=2, technicians=2, stands=9, arrivals=14), PAST)
    assert found.bottleneck is not None
    assert found.bottleneck.resource == PAIR
    assert found.bottleneck.gain.mean > 1


def test_where_there_is_enough_of_everything_one_more_brings_nothing() -> None:
    found = what_if(trial(bays=15, technicians=15, stands=15, arrivals=3), PAST)
    assert found.bottleneck is None
    assert found.wait_p80_s == 0
    assert found.came.low < 3 < found.came.high


def test_where_far_too_many_come_most_are_not_begun() -> None:
    found = what_if(trial(bays=1, technicians=1, arrivals=40), PAST)
    assert found.wait_median_s == inf
    assert found.not_begun.mean > found.finished.mean > 4
    assert found.busy["bays"].mean > 0.9
    parts = found.finished.mean + found.in_bay.mean + found.not_begun.mean
    assert parts == pytest.approx(found.came.mean)


def test_booked_vehicles_wait_less_than_those_that_come_as_they_come() -> None:
    by_chance, booked = (what_if(trial(arrivals=9, way=way), PAST) for way in ("random", "booked"))
    assert booked.wait_p80_s < by_chance.wait_p80_s
    assert booked.came.mean == booked.came.day_low == 9


def test_the_mix_says_how_often_a_calibration_is_drawn() -> None:
    usual, none, twice = (what_if(trial(mix=mix), [*PAST, *ROAD]) for mix in ({}, {"camera": 0}, {"camera": 3}))
    assert none.busy["stands"].mean == 0
    assert twice.busy["stands"].low > usual.busy["stands"].high


def test_too_few_jobs_to_draw_from_are_refused_by_their_number() -> None:
    with pytest.raises(BadInput, match=f"jobs=19 with this mix are too few to draw from; it takes {FEWEST_JOBS}"):
        what_if(trial(), PAST[:19])
    with pytest.raises(BadInput, match="jobs=0"):
        what_if(trial(mix={"camera": 0}), PAST)
