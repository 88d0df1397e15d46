"""The seam of JSON Lines: strict about what comes in, and one refused line never stops the next."""

import json
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.core.cases import read_cases
from webapp.core.compute import METHODS, compute, compute_lines
from webapp.core.errors import BadInput, NotFound
from webapp.core.labels import Label, label_text

GOOD = {
    "track_mm": 1560,
    "bar_mm": 1200,
    "tapes_mm": {"left_left": 1506, "right_right": 1516, "left_right": 2036, "right_left": 2041},
    "u_mm": 1,
}
DECIDE = {"value": 0.38, "u": 0.06, "low": -0.5, "high": 0.5}


def answers(method: str, *lines: str, today: str | None = None) -> Iterator[tuple[dict[str, Any], bool]]:
    for text, refused in compute_lines(method, lines, today):
        yield json.loads(text), refused


def refusal(method: str, line: str) -> dict[str, str]:
    ((answer, refused),) = answers(method, line)
    assert refused
    assert answer.keys() == {"error"}
    assert answer["error"].keys() == {"code", "field", "message"}
    error: dict[str, str] = answer["error"]
    return error


@pytest.mark.parametrize("method", [method for method in METHODS if method != "scan"])
def test_every_case_comes_through_the_seam_line_by_line(method: str) -> None:
    cases = read_cases(method)
    found = list(answers(method, *(json.dumps(case["in"]) + "\n" for case in cases)))
    assert [refused for _, refused in found] == ["error" in case for case in cases]


def test_a_refused_line_lets_the_others_go_on() -> None:
    lines = [json.dumps(DECIDE), '{"value": 1', json.dumps(DECIDE | {"u": -1}), json.dumps(DECIDE)]
    found = list(answers("decide", *lines))
    assert [refused for _, refused in found] == [False, True, True, False]
    assert found[0] == found[3]


def test_blank_lines_and_a_byte_order_mark_are_passed_over() -> None:
    found = list(answers("decide", "\ufeff" + json.dumps(DECIDE) + "\r\n", "", "  \n", json.dumps(DECIDE)))
    assert [answer["verdict"] for answer, _ in found] == ["inside", "inside"]


@pytest.mark.parametrize(
    ("line", "code", "field"),
    [
        ("not json", "invalid-json", "line"),
        ('{"value": 1}}', "invalid-json", "line"),
        ("[" * 100_000, "invalid-json", "line"),
        ("1" * 5_000, "invalid-json", "line"),
        ("[1, 2]", "not-an-object", "line"),
        ("null", "not-an-object", "line"),
        ("7", "not-an-object", "line"),
        ('"text"', "not-an-object", "line"),
        ('{"value": NaN, "u": 1, "low": 0, "high": 1}', "not-finite", "value"),
        ('{"value": -Infinity, "u": 1, "low": 0, "high": 1}', "not-finite", "value"),
        ('{"value": 1e999, "u": 1, "low": 0, "high": 1}', "not-finite", "value"),
        ('{"value": true, "u": 1, "low": 0, "high": 1}', "not-a-number", "value"),
        ('{"value": {}, "u": 1, "low": 0, "high": 1}', "not-a-number", "value"),
        ('{"value": 1, "value": 2, "u": 1, "low": 0, "high": 1}', "key-twice", "value"),
        ('{"u": 1, "low": 0, "high": 1}', "missing", "value"),
        ('{"value": 1, "u": 1, "low": 0, "hihg": 1}', "unknown-field", "hihg"),
    ],
)
def test_a_line_that_cannot_be_used_is_refused_with_its_field(line: str, code: str, field: str) -> None:
    error = refusal("decide", line)
    assert (error["code"], error["field"]) == (code, field)
    assert len(error["message"]) < 300


def test_an_unknown_key_brings_the_nearest_known_one() -> None:
    message = refusal("square", json.dumps(GOOD | {"traget": {}}))["message"]
    assert message == "traget is not known here: did you mean target?"
    message = refusal("square", json.dumps(GOOD | {"zzz": 1}))["message"]
    assert message.startswith("zzz is not known here: known are track_mm, bar_mm, tapes_mm, u_mm")


def test_a_refusal_deep_inside_names_the_whole_path() -> None:
    points = [{"x_mm": 0, "y_mm": 1, "height_mm": 1}, {"x_mm": 0, "y_mm": "a", "height_mm": 1}]
    assert refusal("floor", json.dumps({"points": points, "spots": [], "u_mm": 1}))["field"] == "points[1].y_mm"


def test_an_unknown_method_is_refused_before_any_line_is_read() -> None:
    with pytest.raises(
        NotFound, match="method='flor' must be one of floor, square, axis, decide, height, repeats, area, vin, scan"
    ):
        next(compute_lines("flor", ["{}"]))


@given(st.sampled_from(sorted(METHODS)), st.text())
def test_no_line_breaks_the_seam(method: str, line: str) -> None:
    for text, _ in compute_lines(method, [line]):
        assert isinstance(json.loads(text), dict)


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=8), inner, max_size=4),
    max_leaves=12,
)


@given(st.sampled_from(sorted(METHODS)), st.data())
def test_no_value_in_any_field_breaks_the_seam(method: str, data: st.DataObject) -> None:
    whole = json.loads(json.dumps(read_cases(method)[0]["in"]))
    keys, holder = data.draw(st.sampled_from(list(paths(whole)))), whole
    for key in keys[:-1]:
        holder = holder[key]
    holder[keys[-1]] = data.draw(JSON)
    for text, _ in compute_lines(method, [json.dumps(whole)], today="2026-11-24"):
        assert isinstance(json.loads(text), dict)


def paths(value: Any, above: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in items:
        yield (*above, key)
        yield from paths(inner, (*above, key))


KIT = {
    "B-1": {"kind": "target", "is": "panel", "name": "Panel 1", "condition": "good", "inspection_due": "2026-11-23"},
    "S-1": {"kind": "spot", "is": "stand", "name": "the stand", "condition": "good", "place": "hall 2"},
}
SCAN = {
    "expected": [{"target": "panel", "spot": "stand"}],
    "placed": [],
    "kit": KIT,
    "text": label_text(Label("target", "B-1")),
}


def test_a_scan_answers_with_codes_and_one_sentence() -> None:
    assert compute("scan", SCAN) == {
        "verdict": "match",
        "target": "B-1",
        "spot": "S-1",
        "next": "Panel 1 is right: now scan the stand",
    }


def test_a_scan_that_states_no_day_is_judged_by_the_day_it_is_given() -> None:
    ((answer, _),) = answers("scan", json.dumps(SCAN), today="2026-11-24")
    assert answer["verdict"] == "out-of-service"
    ((answer, _),) = answers("scan", json.dumps(SCAN | {"today": "2026-11-23"}), today="2026-11-24")
    assert answer["verdict"] == "match"


@pytest.mark.parametrize("holding", ["B-1", label_text(Label("target", "B-1"))])
def test_the_label_scanned_before_may_be_given_as_code_or_as_text(holding: str) -> None:
    spot = SCAN | {"text": label_text(Label("spot", "S-1")), "holding": holding}
    assert compute("scan", spot)["next"] == "In place, and nothing is left: go on with the work"


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"kit": []}, "kit"),
        ({"kit": {"B-1": "panel"}}, "kit"),
        ({"kit": {"B-1": {"kind": "target", "condition": "worn"}}}, "kit.B-1.condition"),
        ({"kit": {"B-1": {"kind": "target", "inspection_due": "23.11.2026"}}}, "kit.B-1.inspection_due"),
        ({"kit": {"B-1": {"kind": "target", "inspection_due": "2026-02-30"}}}, "kit.B-1.inspection_due"),
        ({"kit": {"B-1": {"kind": ["target"]}}}, "kit.B-1.kind"),
        ({"expected": {}}, "expected"),
        ({"expected": [{"target": 7, "spot": None}]}, "expected[0].target"),
        ({"placed": [{"target": "B-1", "stop": "S-1"}]}, "placed[0].stop"),
        ({"text": 7}, "text"),
        ({"today": "today"}, "today"),
        ({"job": "panel"}, "job"),
        ({"holding": "BAY.T.B-1"}, "holding"),
    ],
)
def test_a_scan_that_cannot_be_judged_is_refused_by_its_field(change: dict[str, Any], field: str) -> None:
    with pytest.raises(BadInput) as refused:
        compute("scan", SCAN | change)
    assert refused.value.field == field
