"""The floor survey: the check values of the trade, an independent least-squares solver, and what is refused."""

from functools import partial
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.spatial import Delaunay

from tests.core.cases import cases, check
from webapp.core.compute import compute
from webapp.core.errors import BadInput
from webapp.core.measure.floor import FloorPoint, Spot, fit_plane, survey_floor
from webapp.core.measure.hull import surrounds

PLACES = [(x, y) for x in (-2800, 0, 1500, 3000) for y in (900, -900)] + [(1500, 0)]
HEIGHTS = [2, 5, 0, 3.5, -1, 2, -3, 0.5, 0.2]
BAY = [FloorPoint(x, y, height) for (x, y), height in zip(PLACES, HEIGHTS, strict=True)]
MM = st.integers(-8_000, 8_000)
POINTS = st.lists(st.builds(FloorPoint, MM, MM, st.integers(-60, 60)), min_size=4, max_size=20)


def narrowness(points: list[FloorPoint]) -> float:
    """The width of the band that the points fill, as a share of its length; 0 for points on one line."""
    away = np.array([(p.x_mm, p.y_mm) for p in points], dtype=float)
    long, wide = np.linalg.svd(away - away.mean(axis=0), compute_uv=False)
    return float(wide / long) if long else 0.0


@pytest.mark.parametrize("case", cases("floor"))
def test_a_shared_case_comes_out_as_written(case: dict[str, Any]) -> None:
    check(case, partial(compute, "floor"))


def test_the_check_values_of_a_surveyed_bay() -> None:
    survey = survey_floor(BAY, [Spot(1500, 0)], u_mm=1)
    plane = survey.plane
    assert (round(plane.a_mm, 4), round(plane.along_mm_per_m, 4), round(plane.across_mm_per_m, 4)) == (
        1.4592,
        -0.8026,
        -1.8056,
    )
    assert (round(survey.largest_residual_mm, 4), round(survey.rms_mm, 4)) == (0.4263, 0.3376)
    assert (round(survey.spots[0].height_mm, 4), round(survey.spots[0].u_mm, 4)) == (0.2553, 0.3678)


def test_the_check_values_of_a_plane_from_the_literature() -> None:
    heights = [1, 2.1, 2.9, 2, 3, 4.1, 3.1, 3.9, 5]
    places = [(x, y) for x in (-1, 0, 1) for y in (-1, 0, 1)]
    survey = survey_floor([FloorPoint(x, y, z) for (x, y), z in zip(places, heights, strict=True)], [], u_mm=0.001)
    assert survey.plane.along_mm_per_m == pytest.approx(1000)
    assert survey.plane.across_mm_per_m == pytest.approx(983.333, abs=1e-3)
    assert survey.plane.a_mm == pytest.approx(3.011111, abs=1e-6)
    assert survey.rms_mm**2 == pytest.approx(0.00787037, abs=1e-8)


@given(POINTS)
def test_the_plane_is_the_one_an_independent_solver_finds(points: list[FloorPoint]) -> None:
    assume(narrowness(points) > 2e-3)
    matrix = np.array([(1.0, p.x_mm, p.y_mm) for p in points])
    plane, spot = fit_plane(points), Spot(500.5, -250.25)
    heights = np.array([float(p.height_mm) for p in points])
    (a, b, c), *_ = np.linalg.lstsq(matrix, heights, rcond=None)
    v = np.array([1.0, spot.x_mm, spot.y_mm])
    assert plane.height_mm(spot.x_mm, spot.y_mm) == pytest.approx(a + b * spot.x_mm + c * spot.y_mm, abs=1e-6)
    assert plane.leverage(spot.x_mm, spot.y_mm) == pytest.approx(v @ np.linalg.pinv(matrix.T @ matrix) @ v, rel=1e-5)


@given(POINTS)
def test_the_residuals_of_a_fit_add_up_to_nothing(points: list[FloorPoint]) -> None:
    assume(narrowness(points) > 2e-3)
    survey = survey_floor(points, [], u_mm=1)
    assert sum(survey.residuals_mm) == pytest.approx(0, abs=1e-6)


@given(st.lists(st.tuples(MM, MM), min_size=3, max_size=12, unique=True), st.tuples(MM, MM))
def test_surrounding_agrees_with_a_triangulation(points: list[tuple[float, float]], spot: tuple[float, float]) -> None:
    away = np.array(points, dtype=float) - np.mean(points, axis=0)
    assume(np.linalg.svd(away, compute_uv=False)[1] > 1)  # one line has no triangulation
    assert surrounds(points, spot) == bool(Delaunay(points).find_simplex(spot, tol=1e-9) >= 0)


@given(st.integers(2, 8), st.integers(-5, 5), st.integers(-5, 5), st.integers(-500, 500))
def test_points_on_any_one_line_are_refused(count: int, dx: int, dy: int, shift: int) -> None:
    points = [FloorPoint(shift + 137 * dx * i, 91 * dy * i, i % 3) for i in range(count + 1)]
    with pytest.raises(BadInput) as refused:
        fit_plane(points)
    assert refused.value.code == "points-on-one-line"


def test_a_spot_that_the_points_do_not_surround_is_refused_by_its_place() -> None:
    with pytest.raises(BadInput, match=r"^spots\[1\]=\(3500, 0\) must be surrounded") as refused:
        survey_floor(BAY, [Spot(1500, 0), Spot(3500, 0)], u_mm=1)
    assert refused.value.as_dict()["error"]["code"] == "spot-not-surrounded"


def test_the_height_at_a_spot_is_least_sure_at_the_edge() -> None:
    middle, edge = survey_floor(BAY, [Spot(500, 0), Spot(3000, 900)], u_mm=1).spots
    assert middle.u_mm < edge.u_mm
