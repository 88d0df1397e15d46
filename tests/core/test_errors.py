"""The one error tree and its one JSON shape."""

import pytest

from webapp.core import errors
from webapp.core.errors import BadInput, BaybookError, shown

KINDS = [kind for kind in vars(errors).values() if isinstance(kind, type) and issubclass(kind, BaybookError)]


def test_every_error_is_drawn_in_the_docstring() -> None:
    assert errors.__doc__ is not None
    assert [kind.__name__ for kind in KINDS if kind.__name__ not in errors.__doc__] == []


@pytest.mark.parametrize("kind", KINDS)
def test_every_error_leaves_the_house_in_one_shape(kind: type[BaybookError]) -> None:
    error = kind("too-steep", "along", "along=9 must lie within -5 to 5")
    shape = {"error": {"code": "too-steep", "field": "along", "message": "along=9 must lie within -5 to 5"}}
    assert error.as_dict() == shape
    assert str(error) == error.message


def test_an_error_can_be_seen_from_one_level_up() -> None:
    error = BadInput("out-of-range", "x_mm", "x_mm=9 must lie within 0 to 5").inside("points[2]")
    assert (error.field, error.message) == ("points[2].x_mm", "points[2].x_mm=9 must lie within 0 to 5")
    whole = BadInput("full", "", "no room is left").inside("points[2]")
    assert (whole.field, whole.message) == ("points[2]", "points[2]: no room is left")


@pytest.mark.parametrize(("value", "text"), [("a", "'a'"), (None, "null"), (True, "true"), (91.0, "91"), ([1], "[1]")])
def test_a_refused_value_is_quoted_as_it_was_given(value: object, text: str) -> None:
    assert shown(value) == text
