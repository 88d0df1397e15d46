"""A vehicle's figures as its qualifiers have them: other wheels, other tyre pressures."""

from typing import Any

import pytest

from webapp.core.figures import figures_of, interval, number, source_of
from webapp.core.procedure import Vehicle

VAN: dict[str, Any] = {
    "vehicle": "alder-van",
    "maker": "Alder",
    "model": "Van",
    "years": "2022-",
    "vin": ["0ALDR*"],
    "revision": 1,
    "outline": {
        "length": "5000 mm",
        "width": "1900 mm",
        "wheelbase": "3000 mm",
        "front-overhang": "900 mm",
        "track-front": "1600 mm",
        "track-rear": "1600 mm",
    },
    "qualifiers": [
        {
            "name": "wheel-size",
            "ask": "Which wheels?",
            "options": [{"value": "small", "label": "15 inch"}, {"value": "large", "label": "17 inch"}],
        }
    ],
    "source": "Invented for this test",
    "figures": {"tyre-front": {"nominal": "2.4 bar", "tolerance": "10 kPa"}, "track": {"value": "1600 mm"}},
    "variants": [
        {
            "only-if": {"wheel-size": "large"},
            "figures": {"tyre-front": {"nominal": "260 kPa", "tolerance": "10 kPa"}},
        }
    ],
    "specs": {
        "forward-camera-static": {
            "source": "Invented for this test",
            "revision": 1,
            "figures": {"track": {"value": "1602 mm"}},
        }
    },
}


@pytest.mark.parametrize(
    ("qualifiers", "expected_kpa"),
    [({"wheel-size": "large"}, (250, 270)), ({"wheel-size": "small"}, (230, 250)), ({}, (230, 250))],
)
def test_a_variant_replaces_a_figure_only_where_its_qualifier_was_answered_so(
    qualifiers: dict[str, str], expected_kpa: tuple[float, float]
) -> None:
    figures = figures_of(Vehicle.model_validate(VAN), "vehicle-ready", qualifiers)
    assert interval("spec.tyre-front", "tyre-front-left", figures) == expected_kpa


def test_a_spec_s_own_figure_stands_above_the_vehicle_s() -> None:
    vehicle = Vehicle.model_validate(VAN)
    assert number("spec", "track", figures_of(vehicle, "forward-camera-static")) == 1602
    assert number("spec", "track", figures_of(vehicle, "vehicle-ready")) == 1600


def test_without_a_vehicle_there_are_no_figures() -> None:
    assert figures_of(None, "equipment-check") == {}


def test_a_figure_says_where_it_comes_from_its_own_source_or_that_of_what_it_is_in() -> None:
    own = {"bar": {"value": "1200 mm", "source": "Bulletin 7", "revision": 3}}
    spec = VAN["specs"]["forward-camera-static"]
    specs = {
        "forward-camera-static": {**spec, "source": "Sheet FC", "revision": 4, "figures": {**spec["figures"], **own}}
    }
    van = Vehicle.model_validate({**VAN, "source": "Sheet CH", "revision": 2, "specs": specs})
    figures = figures_of(van, "forward-camera-static", {"wheel-size": "large"})
    origins = {name: source_of(f"spec.{name}", name, figures) for name in ("track", "tyre-front", "bar")}
    assert origins == {
        "track": {"source": "Sheet FC", "revision": 4},
        "tyre-front": {"source": "Sheet CH", "revision": 2},
        "bar": {"source": "Bulletin 7", "revision": 3},
    }
    assert source_of(None, "bar", figures) is None
