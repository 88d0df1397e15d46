"""Squaring a stand: the check values of the trade, an independent solver, blunders, and the advice."""

from contextlib import suppress
from dataclasses import astuple, replace
from functools import partial
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import least_squares

from tests.core.cases import cases, check
from webapp.core.compute import compute
from webapp.core.errors import BadInput
from webapp.core.measure.advice import advise, square_with_repeats, whole_mm
from webapp.core.measure.square import (
    FRONT,
    LARGEST_MISFIT,
    REAR,
    TAPE_NAMES,
    Hubs,
    Pose,
    Tapes,
    square_stand,
    tapes_at,
)

TRACK, BAR = 1560, 1200
ONE = Tapes(1, 1, 1, 1)
GOOD = Tapes(left_left=1506, right_right=1516, left_right=2036, right_left=2041)
MISREAD = replace(GOOD, left_right=2046)

POSES = st.builds(Pose, st.floats(600, 8_000), st.floats(-900, 900), st.floats(-25, 25))
TRACKS, BARS = st.floats(1_200, 2_200), st.floats(400, 2_600)
NOISE = st.tuples(*[st.floats(-1, 1)] * 4)
HUBS = st.sampled_from([FRONT, REAR])


@pytest.mark.parametrize("case", cases("square"))
def test_a_shared_case_comes_out_as_written(case: dict[str, Any]) -> None:
    check(case, partial(compute, "square"))


def test_the_check_values_of_a_stand_a_little_off() -> None:
    found = square_stand(TRACK, BAR, GOOD, ONE)
    assert found.pose is not None
    assert found.u is not None
    assert [round(value, 2) for value in (found.pose.distance_mm, found.pose.offset_mm)] == [1500.27, 8.11]
    assert round(found.pose.yaw_deg, 3) == 0.388
    assert (round(found.u.distance_mm, 2), round(found.u.offset_mm, 2), round(found.u.yaw_deg, 3)) == (
        0.57,
        1.15,
        0.061,
    )
    assert round(found.misfit, 3) == 0.012


def test_a_diagonal_misread_by_ten_millimetres_does_not_fit() -> None:
    found = square_stand(TRACK, BAR, MISREAD, ONE)
    assert (found.fits, found.pose, found.u) == (False, None, None)
    assert round(found.misfit, 1) == 33.6


def test_the_same_four_lengths_behind_the_vehicle_are_the_mirror_s() -> None:
    before, behind = square_stand(TRACK, BAR, GOOD, ONE), square_stand(TRACK, BAR, GOOD, ONE, REAR)
    assert before.pose is not None
    assert behind.pose == replace(before.pose, yaw_deg=-before.pose.yaw_deg)
    assert (behind.u, behind.misfit) == (before.u, before.misfit)


@pytest.mark.parametrize(("hubs", "left_left"), [(FRONT, 1500 - 6), (REAR, 1500 + 6)])
def test_turned_to_the_left_the_left_end_comes_nearer_before_the_vehicle_and_goes_away_behind_it(
    hubs: Hubs, left_left: float
) -> None:
    """A bar as long as the track, out of square by six millimetres at either end, which is what the tapes find."""
    turned = tapes_at(BAR, BAR, Pose(1500, 0, np.degrees(np.arcsin(6 / (BAR / 2)))), hubs)
    assert (turned.left_left, turned.right_right) == pytest.approx((left_left, 3000 - left_left), abs=0.01)


@given(TRACKS, BARS, POSES, HUBS)
def test_exact_readings_give_back_the_pose(track: float, bar: float, pose: Pose, hubs: Hubs) -> None:
    found = square_stand(track, bar, tapes_at(track, bar, pose, hubs), ONE, hubs)
    assert found.pose is not None
    assert astuple(found.pose) == pytest.approx(astuple(pose), abs=1e-5)
    assert found.misfit < 1e-9


@settings(max_examples=60)
@given(TRACKS, BARS, POSES, NOISE)
def test_the_pose_is_the_one_an_independent_solver_finds(
    track: float, bar: float, pose: Pose, noise: tuple[float, ...]
) -> None:
    readings = Tapes(*(length + e for length, e in zip(astuple(tapes_at(track, bar, pose)), noise, strict=True)))
    found = square_stand(track, bar, readings, ONE)

    def missing(at: Any) -> Any:
        return np.array(astuple(readings)) - np.array(astuple(tapes_at(track, bar, Pose(*at))))

    other = least_squares(missing, astuple(pose), x_scale=(1, 1, 0.05), xtol=1e-14, ftol=1e-14, gtol=1e-14)
    assert found.misfit == pytest.approx(2 * other.cost, rel=1e-5, abs=1e-7)
    assume(found.pose is not None and found.u is not None)
    spread = np.sqrt(np.diag(np.linalg.inv(other.jac.T @ other.jac)))
    assert astuple(found.pose) == pytest.approx(other.x, abs=2e-3)
    assert astuple(found.u) == pytest.approx(spread, rel=1e-3)


@given(POSES, HUBS)
def test_a_mirrored_stand_gives_the_mirrored_pose(pose: Pose, hubs: Hubs) -> None:
    tapes = tapes_at(TRACK, BAR, pose, hubs)
    mirrored = Tapes(tapes.right_right, tapes.left_left, tapes.right_left, tapes.left_right)
    found = square_stand(TRACK, BAR, mirrored, ONE, hubs)
    assert found.pose is not None
    assert astuple(found.pose) == pytest.approx((pose.distance_mm, -pose.offset_mm, -pose.yaw_deg), abs=1e-5)


@given(st.sampled_from(TAPE_NAMES), st.floats(10, 400), st.booleans(), HUBS)
def test_a_blunder_on_any_one_tape_is_seen_and_the_next_set_names_it(
    tape: str, slip: float, longer: bool, hubs: Hubs
) -> None:
    exact = tapes_at(TRACK, BAR, Pose(1500, 8, 0.4), hubs)
    wrong = replace(exact, **{tape: getattr(exact, tape) + (slip if longer else -slip)})
    assert not square_stand(TRACK, BAR, wrong, ONE, hubs).fits
    found, odd = square_with_repeats(TRACK, BAR, wrong, ONE, [exact], hubs)
    assert (found.fits, odd.tape, odd.reason) == (True, tape, None)
    assert found.pose is not None
    assert astuple(found.pose) == pytest.approx((1500, 8, 0.4), abs=1e-5)


def test_repeating_the_same_blunder_blames_no_tape() -> None:
    found, odd = square_with_repeats(TRACK, BAR, MISREAD, ONE, [MISREAD])
    assert (found.fits, odd.tape, odd.reason) == (False, None, "no-single-tape")


def test_two_blunders_in_one_set_are_not_pinned_on_one_tape() -> None:
    wrong = replace(GOOD, left_right=2061, left_left=1486)
    found, odd = square_with_repeats(TRACK, BAR, wrong, ONE, [GOOD])
    assert (found.fits, odd.tape, odd.reason) == (True, None, "no-single-tape")


def test_a_digit_too_many_is_refused_with_the_two_tapes_that_cannot_meet() -> None:
    with pytest.raises(BadInput, match=r"left_left=15060 and tapes_mm\.left_right=2036 cannot meet with bar_mm=1200"):
        square_stand(TRACK, BAR, replace(GOOD, left_left=15060), ONE)


@settings(max_examples=200)
@given(TRACKS, BARS, st.tuples(*[st.floats(50, 30_000)] * 4))
def test_any_four_lengths_give_a_pose_a_misfit_or_a_refusal(track: float, bar: float, four: tuple[float, ...]) -> None:
    with suppress(BadInput):
        found = square_stand(track, bar, Tapes(*four), ONE)
        assert found.fits == (found.misfit <= LARGEST_MISFIT) == (found.pose is not None)


def test_the_advice_turns_then_slides_then_moves_and_says_what_to_expect() -> None:
    found = square_stand(TRACK, BAR, GOOD, ONE)
    turn, slide, move, expect = advise(TRACK, BAR, found, Pose(1480, 0, 0))
    assert turn == {"do": "turn", "left_end_mm": 4, "left_end": "away", "right_end": "nearer"}
    assert slide == {"do": "slide", "mm": 8, "to": "right"}
    assert move == {"do": "move", "mm": 20, "to": "nearer"}
    assert expect["do"] == "expect"
    assert expect["tapes_mm"]["left_left"] == expect["tapes_mm"]["right_right"]


def test_a_move_that_rounds_to_nothing_is_left_out() -> None:
    found = square_stand(TRACK, BAR, GOOD, ONE)
    assert [entry["do"] for entry in advise(TRACK, BAR, found, Pose(1500, 8, 0.388))] == ["expect"]


def test_without_a_target_the_stand_is_squared_and_centred_where_it_is() -> None:
    found = square_stand(TRACK, BAR, GOOD, ONE)
    assert [entry["do"] for entry in advise(TRACK, BAR, found, None)] == ["turn", "slide", "expect"]


def test_four_that_do_not_fit_bring_one_piece_of_advice() -> None:
    assert advise(TRACK, BAR, square_stand(TRACK, BAR, MISREAD, ONE), Pose(1500, 0, 0)) == ({"do": "measure-again"},)


@given(POSES, POSES, HUBS)
def test_following_the_advice_leads_to_the_target_within_a_millimetre(here: Pose, there: Pose, hubs: Hubs) -> None:
    found = square_stand(TRACK, BAR, tapes_at(TRACK, BAR, here, hubs), ONE, hubs)
    ahead = {"front": 1, "rear": -1}[hubs]  # away from the vehicle is forward before it, and back behind it
    distance, offset, left_end_ahead = here.distance_mm, here.offset_mm, -BAR / 2 * np.sin(np.radians(here.yaw_deg))
    for entry in advise(TRACK, BAR, found, there, hubs):
        if entry["do"] == "turn":
            left_end_ahead += ahead * entry["left_end_mm"] * {"away": 1, "nearer": -1}[entry["left_end"]]
            assert {entry["left_end"], entry["right_end"]} == {"away", "nearer"}
        elif entry["do"] == "slide":
            offset += entry["mm"] * {"left": 1, "right": -1}[entry["to"]]
        elif entry["do"] == "move":
            distance += entry["mm"] * {"farther": 1, "nearer": -1}[entry["to"]]
        else:
            wanted = astuple(tapes_at(TRACK, BAR, there, hubs))
            assert [entry["tapes_mm"][name] for name in TAPE_NAMES] == pytest.approx(wanted, abs=0.5001)
    wanted_end = -BAR / 2 * np.sin(np.radians(there.yaw_deg))
    assert (distance, offset, left_end_ahead) == pytest.approx(
        (there.distance_mm, there.offset_mm, wanted_end), abs=0.51
    )


@pytest.mark.parametrize(
    ("length", "whole"), [(0.5, 1), (-0.5, -1), (0.49, 0), (-0.49, 0), (2.5, 3), (-7.4, -7), (2.5 - 1e-12, 3)]
)
def test_halves_round_away_from_zero_on_both_sides(length: float, whole: int) -> None:
    assert whole_mm(length) == whole
