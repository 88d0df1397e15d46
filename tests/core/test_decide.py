"""Inside, outside, too close to call: exact boundaries, probability, and how many repeats would settle it."""

from fractions import Fraction
from functools import partial
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from tests.core.cases import cases, check
from webapp.core.compute import compute
from webapp.core.errors import BadInput
from webapp.core.measure.decide import MOST_REPEATS, decide, repeats_to_settle
from webapp.core.measure.student import widening

HUNDREDTHS = st.integers(-100_000, 100_000)
LOW, HIGH = Fraction("-0.5"), Fraction("0.5")


@pytest.mark.parametrize("case", cases("decide"))
def test_a_shared_case_comes_out_as_written(case: dict[str, Any]) -> None:
    check(case, partial(compute, "decide"))


@pytest.mark.parametrize(
    ("value", "verdict"),
    [("0.38", "inside"), ("0.39", "too-close-to-call"), ("0.62", "too-close-to-call"), ("0.63", "outside")],
)
def test_the_boundaries_are_exact_on_both_sides(value: str, verdict: str) -> None:
    assert decide(Fraction(value), Fraction("0.06"), LOW, HIGH).verdict == verdict
    assert decide(-Fraction(value), Fraction("0.06"), LOW, HIGH).verdict == verdict


def test_the_worked_example_of_the_guide() -> None:
    decision = decide(Fraction("13.6"), Fraction("1.8"), Fraction("12.5"), Fraction("16.3"))
    assert round(decision.p_inside, 6) == 0.662630
    assert (decision.guard, decision.verdict) == (3.6, "too-close-to-call")


@given(HUNDREDTHS, st.integers(1, 5_000), HUNDREDTHS, st.integers(0, 50_000), st.sampled_from(["both", "low", "high"]))
def test_the_verdict_on_json_numbers_is_that_of_whole_hundredths(
    v: int, u: int, lo: int, width: int, kept: str
) -> None:
    low, high = (lo if kept != "high" else None), (lo + width if kept != "low" else None)
    outside = (low is not None and v < low - 2 * u) or (high is not None and v > high + 2 * u)
    inside = (low is None or v >= low + 2 * u) and (high is None or v <= high - 2 * u)
    wanted = "outside" if outside else "inside" if inside else "too-close-to-call"
    given_ = {key: None if n is None else n / 100 for key, n in (("value", v), ("u", u), ("low", low), ("high", high))}
    assert compute("decide", given_)["verdict"] == wanted


@given(HUNDREDTHS, st.integers(1, 50_000), HUNDREDTHS, st.integers(0, 50_000))
def test_the_probability_is_that_of_the_normal_distribution(v: int, u: int, lo: int, width: int) -> None:
    given_ = {"value": v / 100, "u": u / 100, "low": lo / 100, "high": (lo + width) / 100}
    wanted = norm.cdf((lo + width - v) / u) - norm.cdf((lo - v) / u)
    assert compute("decide", given_)["p_inside"] == pytest.approx(wanted, abs=1e-12)


@pytest.mark.parametrize("typed", ["0,38", "0.38", 0.38])
def test_a_typed_decimal_decides_as_the_number_does(typed: object) -> None:
    answer = compute("decide", {"value": typed, "u": "0,06", "low": -0.5, "high": 0.5})
    assert answer["verdict"] == "inside"


def test_crossed_limits_and_no_limits_are_refused() -> None:
    with pytest.raises(BadInput, match="low=3 must not be more than high=2"):
        decide(1, 1, 3, 2)
    with pytest.raises(BadInput, match="at least one limit"):
        decide(1, 1, None, None)


@given(
    st.integers(-70, 70),
    st.integers(0, 20),
    st.integers(1, 40),
    st.sampled_from([(-50, 50), (None, 50), (-50, None), (40, 50)]),
)
def test_the_repeats_named_are_the_fewest_that_settle_it(
    value: int, u_b: int, s: int, limits: tuple[int | None, int | None]
) -> None:
    low, high = limits

    def settled(count: int) -> bool:
        guard_squared = 4 * (u_b**2 + Fraction(s * widening(count - 1)) ** 2 / count)
        gaps = [gap for gap in (low is not None and value - low, high is not None and high - value) if gap is not False]
        outside = any(gap < 0 and gap**2 > guard_squared for gap in gaps)
        return outside or all(gap >= 0 and gap**2 >= guard_squared for gap in gaps)

    fewest = next((count for count in range(2, MOST_REPEATS + 1) if settled(count)), None)
    assert repeats_to_settle(value, u_b, s, low, high) == fewest


def test_no_number_of_repeats_helps_where_the_instrument_is_too_coarse() -> None:
    assert repeats_to_settle(Fraction("0.45"), u_instrument=0.03, s=0.01, low=LOW, high=HIGH) is None


def test_no_number_of_repeats_helps_on_the_limit_itself() -> None:
    assert repeats_to_settle(HIGH, u_instrument=0.001, s=0.01, low=LOW, high=HIGH) is None


def test_more_repeats_than_anyone_takes_are_not_asked_for() -> None:
    assert repeats_to_settle(Fraction("0.49"), u_instrument=0, s=0.027, low=None, high=HIGH) is None
    assert repeats_to_settle(Fraction("0.49"), u_instrument=0, s=0.0267, low=None, high=HIGH) == MOST_REPEATS
