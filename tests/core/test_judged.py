"""A measure step's readings against its limits: what their repeats can settle."""

from typing import Any

import pytest

from webapp.core.errors import BadInput
from webapp.core.measure.judged import judge, read_all


def pressure(**more: Any) -> dict[str, Any]:
    one = {"name": "tyre", "label": "Tyre", "unit": "kPa", "low": 230, "high": 250, "instrument": None, "u": 1}
    return {"method": "values", "readings": [one | more], "compare": []}


def read(*values: float, **more: Any) -> dict[str, Any]:
    found = judge(pressure(**more), [{"tyre": value} for value in values])
    part: dict[str, Any] = found["parts"][0]
    return part


def test_the_repeats_to_settle_count_the_instruments_own_part_once() -> None:
    # Mean 247.8 with 2.2 of room: u may be 1.1. The gauge has 1.0 of it, the scatter of 1.131 the rest: s²w²/n <= 0.21,
    # where Student's w makes it 0.22 for eight readings and 0.19 for nine.
    part = read(247.0, 248.6)
    assert part["verdict"] == "too-close-to-call"
    assert part["repeats"] == 9


@pytest.mark.parametrize(("count", "verdict"), [(8, "too-close-to-call"), (10, "inside")])
def test_so_many_readings_do_settle_it(count: int, verdict: str) -> None:
    half = (1.28 * (count - 1) / count) ** 0.5  # pairs about the mean that keep s at 1.131
    assert read(*[247.8 + half, 247.8 - half] * (count // 2))["verdict"] == verdict


def test_where_the_gauge_alone_is_too_coarse_no_repeat_helps() -> None:
    assert read(248.0, 248.1, u=2)["repeats"] is None


def test_one_reading_says_nothing_of_repeats() -> None:
    assert "repeats" not in read(248.9)


def test_a_tape_reads_no_negative_length_and_a_scale_does() -> None:
    with pytest.raises(BadInput, match="tyre='-1506' must lie within 0 to 30000"):
        read_all(pressure(unit="mm", instrument="tape"), {"tyre": "-1506"})
    assert read_all(pressure(unit="mm", instrument="scale"), {"tyre": "-3"}) == {"tyre": -3}
    assert read_all(pressure(unit="mm", instrument="tape"), {"tyre": "1506"}) == {"tyre": 1506}
