"""The instruments that readings are taken with: chosen, refused, or left to the usual figures."""

from typing import Any

import pytest

from tests.sheets import KIT
from webapp.core.errors import BadInput
from webapp.core.measure.equip import equipped, kinds_of, taken
from webapp.core.measure.judged import judge

TODAY = "2026-03-02"


def measure(u: float | None = None, instrument: str | None = "tape") -> dict[str, Any]:
    one = {"name": "height", "label": "Height", "unit": "mm", "low": 1257, "high": 1263}
    return {"method": "values", "readings": [one | {"instrument": instrument, "u": u}], "compare": []}


def u_with(about: dict[str, Any], **given: str) -> float:
    found = taken(about, KIT, TODAY, {name.replace("_", "-"): code for name, code in given.items()})
    part: dict[str, Any] = judge(equipped(about, found), [{"height": 1260.0}])["parts"][0]
    return float(part["U"]) / 2


def test_the_shops_own_instrument_comes_before_what_the_procedure_says() -> None:
    assert u_with(measure(u=9.0)) == pytest.approx(0.7 / 3**0.5)  # the first by its code that is fit for use
    assert u_with(measure(), instrument_tape="T2") == pytest.approx((0.2 + 0.05 * 2) / 2)


def test_without_one_the_procedures_figure_counts_and_then_the_usual_one() -> None:
    assert u_with(measure(u=9.0), instrument_tape="none") == 9.0
    assert u_with(measure(), instrument_tape="none") == pytest.approx(0.7 / 3**0.5)
    assert u_with(measure(instrument="scale")) == pytest.approx(0.5 / 3**0.5)


def test_what_was_read_with_is_named_in_the_result() -> None:
    found = taken(measure(), KIT, TODAY, {"instrument-tape": "T1"})
    part = judge(equipped(measure(), found), [{"height": 1260.0}])["parts"][0]
    assert part["by"] == {"code": "T1", "name": "Long tape", "due": "2026-12-01"}


def test_an_instrument_that_is_overdue_is_not_offered_and_not_taken() -> None:
    assert taken(measure(), KIT, "2026-12-02", {})["tape"]["code"] == "T2"
    with pytest.raises(BadInput, match="instrument-tape='T1' must not be used, since it is overdue") as refused:
        taken(measure(), KIT, "2026-12-02", {"instrument-tape": "T1"})
    assert (refused.value.code, refused.value.field) == ("instrument-out-of-service", "instrument-tape")


@pytest.mark.parametrize("code", ["L1", "T9", "toString"])
def test_what_is_no_such_instrument_is_refused(code: str) -> None:
    with pytest.raises(BadInput, match="is no tape of the shop's kit"):
        taken(measure(), KIT, TODAY, {"instrument-tape": code})


def test_each_kind_is_asked_for_once() -> None:
    about = measure()
    about["readings"] = [about["readings"][0] | {"instrument": kind} for kind in ("tape", "scale", "tape", None)]
    assert kinds_of(about) == ["tape", "scale"]
    assert kinds_of({"method": "floor"}) == []


def test_repeats_leave_the_odd_one_out_and_say_so() -> None:
    about = measure(instrument="tape")
    part = judge(about, [{"height": value} for value in (1259.5, 1260.0, 1284.0, 1259.5)])["parts"][0]
    assert (part["left_out"], part["left_out_no"], part["n"]) == (1284.0, 3, 3)
    assert part["value"] == pytest.approx(1259.6667, abs=1e-4)
    assert part["verdict"] == "inside"


def test_a_difference_is_taken_set_by_set() -> None:
    about = measure()
    left = about["readings"][0]
    about["readings"] = [left, left | {"name": "other"}]
    about["compare"] = [{"label": "Both", "of": ["height", "other"], "low": -2, "high": 2, "unit": "mm"}]
    # Both readings wander together by 3 mm; their difference does not.
    sets = [{"height": 1258.0 + away, "other": 1257.5 + away} for away in (0.0, 1.5, 3.0)]
    part = judge(about, sets)["parts"][2]
    assert (part["value"], part["n"]) == (0.5, 3)
    assert part["s"] == pytest.approx(0, abs=1e-9)


SQUARE: dict[str, Any] = {
    "method": "square",
    "track_mm": 1560,
    "bar_mm": 1200,
    "u_mm": 1.0,
    "target": {"distance_mm": 1500, "offset_mm": 8, "yaw_deg": 0.4},
    "limits": {"distance_mm": [1490, 1510], "offset_mm": [0, 16], "yaw_deg": [0, 0.8]},
}
FOUR = {"left_left": 1506.0, "right_right": 1516.0, "left_right": 2036.0, "right_left": 2041.0}


def squared(code: str) -> dict[str, Any]:
    found = taken(SQUARE, KIT, TODAY, {"instrument-tape": code})
    return judge(equipped(SQUARE, found), [FOUR])


def test_four_tapes_are_as_sure_as_the_shops_own_tape_and_the_longer_ones_less() -> None:
    usual, own = squared("none"), squared("T1")
    # Class II up to 2 m and up to 3 m: u of 0.7 and 0.9 mm over the root of 3, where the procedure says 1 mm.
    least, most = 0.7 / 3**0.5, 0.9 / 3**0.5
    for name in ("distance_mm", "offset_mm", "yaw_deg"):
        assert least * usual["u"][name] < own["u"][name] < most * usual["u"][name]
    assert usual["misfit"] / most**2 < own["misfit"] < usual["misfit"] / least**2
    assert {part["by"]["code"] for part in own["parts"]} == {"T1"}
    assert not [part for part in usual["parts"] if "by" in part]


def test_four_tapes_ask_for_one() -> None:
    assert kinds_of(SQUARE) == ["tape"]
