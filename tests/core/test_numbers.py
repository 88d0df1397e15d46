"""How numbers are rounded and written in messages."""

import pytest

from webapp.core.numbers import number, rounded


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (91, "91"),
        (91.0, "91"),
        (1506.5, "1506.5"),
        (-0.0, "0"),
        (0.1 + 0.2, "0.30000000000000004"),
        (1e-4, "0.0001"),
        (1e-9, "1e-09"),
        (1e15, "1000000000000000"),
        (10**16, "1e+16"),
        (float("inf"), "inf"),
    ],
)
def test_a_number_is_written_as_its_shortest_decimal(value: float, text: str) -> None:
    assert number(value) == text


def test_a_whole_number_beyond_any_float_is_written_out() -> None:
    assert number(10**400) == str(10**400)


@pytest.mark.parametrize(
    ("value", "decimals", "wanted"),
    [(2.5, 0, 3.0), (-2.5, 0, -2.0), (0.30000000000000004, 9, 0.3), (-1e-12, 9, 0.0), (1506.25, 1, 1506.3)],
)
def test_halves_go_up(value: float, decimals: int, wanted: float) -> None:
    assert rounded(value, decimals) == wanted
