"""Whether what is stated holds: how often the true value lies within ±U, and how often a bad one is let pass.

Every trial is drawn from a fixed seed, so a share that is out of its bounds is a mistake in a sum and not bad luck.
"""

import cmath
from collections.abc import Iterator
from dataclasses import astuple
from fractions import Fraction
from math import atan, degrees, radians, sqrt
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy import stats

from webapp.core.compute import compute
from webapp.core.measure.decide import decide
from webapp.core.measure.floor import FloorPoint, Spot, survey_floor
from webapp.core.measure.hull import surrounds
from webapp.core.measure.instruments import COVERAGE, repeated
from webapp.core.measure.judged import judge
from webapp.core.measure.square import FRONT, REAR, TAPE_NAMES, Hubs, Pose, Tapes, square_stand, tapes_at
from webapp.core.measure.student import exceeds, widening

TRIALS = 20_000
FEWER = 4_000
STATED = (0.94, 0.96)
FALSE_ACCEPTS = 0.025
Shares = NDArray[np.float64]


def within(share: float, bounds: tuple[float, float] = STATED) -> bool:
    return bounds[0] <= share <= bounds[1]


def laid_out(track_mm: float, bar_mm: float, pose: Pose, hubs: Hubs) -> list[float]:
    """The four lengths from points of the plane alone: hubs at their axle, the bar moved to its place and turned there.

    Vehicle axes, with the front axle at 0 and the rear axle 2700 mm behind it.
    """
    axle, way = (0.0, 1) if hubs == "front" else (-2700.0, -1)
    middle = complex(axle + way * pose.distance_mm, pose.offset_mm)
    turn = cmath.rect(1, radians(pose.yaw_deg))  # counter-clockwise from above, x forward and y to the left
    marks = {side: middle + turn * complex(0, half * bar_mm / 2) for side, half in (("left", 1), ("right", -1))}
    from_hub = {side: complex(axle, half * track_mm / 2) for side, half in (("left", 1), ("right", -1))}
    return [abs(marks[name.split("_")[1]] - from_hub[name.split("_")[0]]) for name in TAPE_NAMES]


def squared(dice: np.random.Generator, hubs: Hubs) -> Iterator[tuple[Pose, Tapes, Pose | None, Pose | None]]:
    """Random stands by random vehicles, four tapes with known noise each: the true pose, u, what was found."""
    poses = np.column_stack(
        [dice.uniform(800, 6000, TRIALS), dice.uniform(-700, 700, TRIALS), dice.uniform(-10, 10, TRIALS)]
    )
    sizes = np.column_stack([dice.uniform(1200, 2000, TRIALS), dice.uniform(500, 2400, TRIALS)])
    spreads = dice.uniform(0.3, 2.5, (TRIALS, 4))
    noise = dice.normal(0, spreads)
    rows = np.column_stack([poses, sizes, spreads, noise]).tolist()
    for x, y, yaw, track, bar, *rest in rows:
        true, u, off = Pose(x, y, yaw), rest[:4], rest[4:]
        tapes = Tapes(*(length + e for length, e in zip(laid_out(track, bar, true, hubs), off, strict=True)))
        found = square_stand(track, bar, tapes, Tapes(*u), hubs)
        yield true, Tapes(*u), found.pose, found.u


@pytest.mark.parametrize("hubs", [FRONT, REAR])
def test_a_squared_stand_is_where_it_is_said_to_be_95_times_in_a_hundred(hubs: Hubs) -> None:
    stands = [(true, pose, u) for true, _, pose, u in squared(np.random.default_rng(1), hubs) if pose and u]
    true, found, u = (np.array([astuple(stand[part]) for stand in stands]) for part in range(3))
    shares: Shares = (np.abs(found - true) <= COVERAGE * u).mean(axis=0)
    assert all(within(share) for share in shares), shares
    # Good sets are sent back once in a hundred: the 99 % point of χ² with one degree of freedom.
    assert 0.007 <= 1 - len(stands) / TRIALS <= 0.013


def floors(dice: np.random.Generator, times_u: float) -> Iterator[tuple[float, ...]]:
    """Random bays with 6 to 14 points: for height at a spot, fall along and fall across, how much of U is used up."""
    while True:
        count = int(dice.integers(6, 15))
        x, y = dice.uniform(-6000, 6000, count), dice.uniform(-2500, 2500, count)
        spot = Spot(*dice.uniform((-3000, -1200), (3000, 1200)).tolist())
        if not surrounds(list(zip(x.tolist(), y.tolist(), strict=True)), (spot.x_mm, spot.y_mm)):
            continue
        a, along, across, noise = (dice.normal(0, 1, 4) * (20, 5, 5, 1)).tolist()
        u = 0.2 + abs(noise)
        heights = a + (along * x + across * y) / 1000 + dice.normal(0, times_u * u, count)
        points = [FloorPoint(*one) for one in np.column_stack([x, y, heights]).tolist()]
        found = survey_floor(points, [spot], u)
        plane, at_spot = found.plane, found.spots[0]
        yield (
            (at_spot.height_mm - a - (along * spot.x_mm + across * spot.y_mm) / 1000) / (COVERAGE * at_spot.u_mm),
            (plane.along_mm_per_m - along) / (COVERAGE * 1000 * found.s_mm * sqrt(plane.spread[0])),
            (plane.across_mm_per_m - across) / (COVERAGE * 1000 * found.s_mm * sqrt(plane.spread[2])),
        )


@pytest.mark.parametrize(
    ("times_u", "trials", "bounds"),
    [
        pytest.param(1.0, TRIALS, STATED, id="as even as the readings are sure"),
        pytest.param(5.0, FEWER, STATED, id="much less even: its own scatter counts"),
        pytest.param(0.3, 1_000, (0.99, 1.0), id="readings surer than stated"),
    ],
)
def test_a_floor_lies_where_it_is_said_to_lie(times_u: float, trials: int, bounds: tuple[float, float]) -> None:
    made = floors(np.random.default_rng(2), times_u)
    shares: Shares = (np.abs([next(made) for _ in range(trials)]) <= 1).mean(axis=0)
    assert all(within(share, bounds) for share in shares), shares


def test_a_thrust_angle_is_what_it_is_said_to_be() -> None:
    dice = np.random.default_rng(3)
    measure = {"method": "axis", "u_mm": 1.0, "limits": {}}
    toes, held = dice.uniform(-0.8, 0.8, (TRIALS, 2)), 0
    read = toes + dice.normal(0, 0.05 / sqrt(3), (TRIALS, 2))  # as good as an alignment bench's half-width says
    corners = {"front_left": (0, 780), "front_right": (0, -780), "rear_left": (-2700, 775), "rear_right": (-2700, -775)}
    at = {f"{name}_{axis}": place[n] for name, place in corners.items() for n, axis in enumerate("xy")}
    for (left, right), (toe_left, toe_right) in zip(toes.tolist(), read.tolist(), strict=True):
        part = judge(measure, [at | {"toe_left": toe_left, "toe_right": toe_right}])["parts"][0]
        held += abs(part["value"] - (left - right) / 2) <= part["U"]
    assert within(held / TRIALS), held / TRIALS


def test_the_turn_of_an_axle_is_read_as_an_independent_sum_reads_it() -> None:
    dice = np.random.default_rng(4)
    for front, rear, half in dice.normal(0, 25, (200, 3, 2)).tolist():
        points = {
            name: {"left": {"x_mm": x + a[0], "y_mm": 780 + a[1]}, "right": {"x_mm": x - b[0], "y_mm": b[1] - 780}}
            for name, x, a, b in (("front", 0, front, half), ("rear", -2700, rear, half))
        }
        middle = {n: np.mean([[p["x_mm"], p["y_mm"]] for p in one.values()], axis=0) for n, one in points.items()}
        along = middle["front"] - middle["rear"]
        assert compute("axis", points)["centreline_deg"] == pytest.approx(degrees(atan(along[1] / along[0])))


def value(name: str = "gap", u: float = 0.001, **limits: float | None) -> dict[str, Any]:
    one = {"name": name, "label": "", "unit": "mm", "low": None, "high": None, "instrument": None, "u": u, **limits}
    return {"method": "values", "readings": [one], "compare": []}


@pytest.mark.parametrize("count", [2, 3, 5, 10])
def test_the_mean_of_a_few_readings_is_as_sure_as_it_says(count: int) -> None:
    scattered = np.random.default_rng(5).normal(0, 1, (TRIALS, count))
    found = [repeated(series.tolist()) for series in scattered]
    held = sum(abs(one.mean) <= COVERAGE * one.u * widening(count - 1) for one in found)
    assert within(held / TRIALS), held / TRIALS


@pytest.mark.parametrize(("count", "s"), [(1, 0.0), (2, 0.3), (3, 1.0), (6, 2.0)])
def test_an_instruments_own_error_and_the_scatter_together_are_never_understated(count: int, s: float) -> None:
    dice, held = np.random.default_rng(6), 0
    read = dice.normal(0, 1, (TRIALS, 1)) + dice.normal(0, s, (TRIALS, count))
    for series in read:
        part = judge(value(u=1.0), [{"gap": one} for one in series.tolist()])["parts"][0]
        held += abs(part["value"]) <= part["U"]
    assert within(held / TRIALS, (STATED[0], 0.99)), held / TRIALS


def test_a_value_on_its_limit_is_let_pass_at_most_25_times_in_a_thousand() -> None:
    dice = np.random.default_rng(7)
    spreads, highs = dice.uniform(0.01, 3, 2 * TRIALS), dice.uniform(-50, 50, 2 * TRIALS)
    reads = dice.normal(highs, spreads)
    passed = sum(
        decide(Fraction(read), Fraction(u), None, Fraction(high)).verdict == "inside"
        for read, u, high in zip(reads.tolist(), spreads.tolist(), highs.tolist(), strict=True)
    )
    assert 0.02 <= passed / (2 * TRIALS) <= FALSE_ACCEPTS, passed


@pytest.mark.parametrize("count", [2, 3, 5])
def test_nor_is_the_mean_of_a_few_readings_let_pass_more_often(count: int) -> None:
    dice = np.random.default_rng(8)
    read = 10 + dice.normal(0, 0.3, (FEWER, 1)) + dice.normal(0, 1, (FEWER, count))
    passed = sum(
        judge(value(u=0.3, high=10.0), [{"gap": one} for one in series.tolist()])["verdict"] == "inside"
        for series in read
    )
    assert passed / FEWER <= FALSE_ACCEPTS, passed


def test_nor_is_a_stand_that_stands_on_the_limit_of_its_distance() -> None:
    dice = np.random.default_rng(9)
    measure = {
        "method": "square",
        "track_mm": 1560,
        "bar_mm": 1200,
        "u_mm": 1.0,
        "target": {"distance_mm": 1500, "offset_mm": 0, "yaw_deg": 0},
        "limits": {"distance_mm": [1495, 1505]},
    }
    off, passed = dice.normal(0, 1, (FEWER, 4)), 0
    exact = np.array(astuple(tapes_at(1560, 1200, Pose(1505, 3, 0.2))))
    for tapes in exact + off:
        named = dict(zip(("left_left", "right_right", "left_right", "right_left"), tapes.tolist(), strict=True))
        passed += judge(measure, [named])["verdict"] == "inside"
    assert passed / FEWER <= FALSE_ACCEPTS, passed


@pytest.mark.parametrize("freedom", [1, 2, 3, 5, 8, 10, 11, 15, 29, 60, 200, 997])
def test_the_widening_is_students_and_never_less_than_nothing(freedom: int) -> None:
    assert widening(freedom) == pytest.approx(max(1.0, stats.t.ppf(0.975, freedom) / COVERAGE), rel=3e-4)


@pytest.mark.parametrize("freedom", [2, 3, 6, 11, 50, 997])
def test_residuals_exceed_what_is_stated_five_times_in_a_hundred(freedom: int) -> None:
    point = sqrt(stats.chi2.ppf(0.95, freedom) / freedom)
    assert exceeds(1.01 * point, 1.0, freedom)
    assert not exceeds(0.99 * point, 1.0, freedom)


# --- Published examples, their numbers typed in ---


@pytest.mark.parametrize(
    ("found", "p"),
    [
        # JCGM 106:2012, 7.4: a breakdown voltage of at most -5.40 V, found to be -5.47 V with u = 0.05 V.
        ({"value": -5.47, "u": 0.05, "low": None, "high": -5.40}, 0.92),
        # JCGM 106:2012, 7.4: a viscosity from 12.5 to 16.3 mm²/s, found to be 13.6 mm²/s with u = 1.8 mm²/s.
        ({"value": 13.6, "u": 1.8, "low": 12.5, "high": 16.3}, 0.66),
    ],
)
def test_the_conformance_probabilities_of_jcgm_106(found: dict[str, Any], p: float) -> None:
    assert round(compute("decide", found)["p_inside"], 2) == p


def test_the_twenty_temperatures_of_jcgm_100() -> None:
    """JCGM 100:2008, 4.4.3, table 1: mean 100.145 °C, s = 1.489 °C, s/√n = 0.333 °C."""
    t = "96.90 98.18 98.25 98.61 99.03 99.49 99.56 99.74 99.89 100.07 100.33 100.42 100.68 100.95 101.11 101.20 101.57"
    found = repeated([float(one) for one in f"{t} 101.84 102.36 102.72".split()])
    assert (found.count, round(found.mean, 3), round(found.s, 3), round(found.u, 3)) == (20, 100.145, 1.489, 0.333)


def test_the_plane_through_the_cement_data() -> None:
    """Heat of hardening over two constituents (Woods, Steinour and Starke, 1932), as fitted in Draper and Smith's
    Applied Regression Analysis: 52.58 + 1.468·x + 0.662·y, residual sum of squares 57.90.
    """
    x = [7, 1, 11, 11, 7, 11, 3, 1, 2, 21, 1, 11, 10]
    y = [26, 29, 56, 31, 52, 55, 71, 31, 54, 47, 40, 66, 68]
    heat = [78.5, 74.3, 104.3, 87.6, 95.9, 109.2, 102.7, 72.5, 93.1, 115.9, 83.8, 113.3, 109.4]
    survey = survey_floor([FloorPoint(*one) for one in zip(x, y, heat, strict=True)], [], u_mm=0.001)
    plane = survey.plane
    assert (round(plane.a_mm, 2), round(plane.along_mm_per_m), round(plane.across_mm_per_m)) == (52.58, 1468, 662)
    assert round(survey.rms_mm**2 * 10, 2) == 57.90
