"""The working area: whether it fits, what is nearest, and the smallest move that makes it fit."""

from functools import partial
from itertools import product
from typing import Any

import numpy as np
import pytest
from shapely import Polygon, unary_union
from shapely.affinity import translate

from tests.core.cases import cases, check
from webapp.core.compute import compute
from webapp.core.measure.area import Bay, Obstacle, fit, middle_bay, rectangle

OUTLINE = {"length_mm": 4700.0, "width_mm": 1800.0, "front_overhang_mm": 900.0}


def box(ahead: float, left: float, behind: float, right: float) -> tuple[tuple[float, float], ...]:
    return ((ahead, left), (ahead, right), (behind, right), (behind, left))


@pytest.mark.parametrize("case", cases("area"))
def test_a_shared_case_comes_out_as_written(case: dict[str, Any]) -> None:
    check(case, partial(compute, "area"))


def test_a_calibrations_area_counts_from_the_vehicles_own_outline() -> None:
    area = {"ahead_mm": 3000.0, "behind_mm": 1500.0, "each_side_mm": 1000.0}
    assert rectangle(OUTLINE, area) == box(3900, 1900, -5300, -1900)


def test_two_areas_need_their_union_and_not_the_box_round_it() -> None:
    long, wide = box(4000, 1200, -5500, -1200), box(500, 2400, -3000, -2400)
    pillar = Obstacle("pillar", box(4200, 2400, 3800, 2000))
    bay = Bay(box(5000, 2500, -6500, -2500), (pillar,))
    assert fit(bay, [long, wide]).fits
    assert not fit(bay, [box(4000, 2400, -5500, -2400)]).fits


def test_a_bay_of_known_size_alone_has_the_area_in_its_middle() -> None:
    area = box(4000, 2000, -5500, -2000)
    found = fit(middle_bay(4600, 10_000, [area]), [area])
    assert (found.fits, found.clearance_mm) == (True, 250.0)
    assert not fit(middle_bay(3900, 10_000, [area]), [area]).fits


def test_the_smallest_move_is_the_smallest_of_all_that_could_be_tried() -> None:
    """Random bays with pillars, every move on a grid tried: none that is shorter fits, and the one named does."""
    dice, moved, stuck = np.random.default_rng(3), 0, 0
    grid = [(x, y) for x, y in product(range(-1500, 1501, 50), repeat=2)]
    grid.sort(key=lambda one: one[0] ** 2 + one[1] ** 2)
    for _ in range(40):
        sizes = dice.integers(0, 900, 8).tolist()
        areas = [box(1000 + sizes[0], 700, -2000 - sizes[1], -700), box(200, 900 + sizes[2] / 3, -900, -1000)]
        walls = box(1200 + sizes[3], 1100 + sizes[4], -2600 - sizes[5], -1300 - sizes[6])
        x, y = dice.integers(-2500, 2000), dice.choice([-1, 1]) * dice.integers(500, 1600)
        pillar = Obstacle("pillar", tuple((float(x + a), float(y + b)) for a, b in box(150, 150, -150, -150)))
        found = fit(Bay(walls, (pillar,)), areas)
        need = unary_union([Polygon(one) for one in areas])
        free = Polygon(walls).difference(Polygon(pillar.corners))
        assert found.fits == free.buffer(0.5, join_style="mitre").covers(need)
        if found.fits:
            assert found.shift is None
            continue
        best = next((one for one in grid if free.covers(translate(need, *one))), None)
        if found.shift is None:
            assert best is None
            stuck += 1
            continue
        assert free.buffer(1, join_style="mitre").covers(translate(need, *found.shift))
        if best:
            assert np.hypot(*found.shift) <= np.hypot(*best) + 1
        moved += 1
    assert moved > 8
    assert stuck > 2
