"""baybook compute: JSON Lines in, JSON Lines out, and an exit status that tells whether a line was refused."""

import json

import pytest
from click.testing import CliRunner, Result

from webapp.cli import main

SQUARE = {
    "track_mm": 1560,
    "bar_mm": 1200,
    "tapes_mm": {"left_left": 1506, "right_right": 1516, "left_right": 2036, "right_left": 2041},
    "u_mm": 1,
}
KIT = {"P-1": {"kind": "target", "is": "panel", "name": "Panel 1", "inspection_due": "2020-01-31"}}


def run(method: str, typed: str | bytes) -> Result:
    return CliRunner().invoke(main, ["compute", method], input=typed)


def test_one_line_comes_out_for_each_that_goes_in() -> None:
    result = run("square", f"{json.dumps(SQUARE)}\n{json.dumps(SQUARE)}\n")
    answers = [json.loads(line) for line in result.stdout.splitlines()]
    assert [round(answer["distance_mm"], 2) for answer in answers] == [1500.27, 1500.27]
    assert result.exit_code == 0


def test_a_refused_line_tells_by_status_2_and_the_others_are_answered() -> None:
    result = run("square", f"{json.dumps(SQUARE | {'u_mm': 0})}\nnonsense\n{json.dumps(SQUARE)}\n")
    first, second, third = (json.loads(line) for line in result.stdout.splitlines())
    assert (first["error"]["field"], second["error"]["code"], third["fits"]) == ("u_mm", "invalid-json", True)
    assert result.exit_code == 2


def test_bytes_that_are_no_text_are_refused_like_any_other_line() -> None:
    result = run("vin", b'{"text": "\xff\xfe"}\n{"text": "ZZB1TTUA58R004217"}\n')
    first, second = (json.loads(line) for line in result.stdout.splitlines())
    assert (first["error"]["field"], second["valid"]) == ("text", True)


def test_an_overdue_target_is_out_of_service_by_the_day_of_the_command() -> None:
    scan = {"expected": [{"target": "panel", "spot": None}], "placed": [], "kit": KIT, "text": "BAY.T.P-1.V"}
    result = run("scan", json.dumps(scan))
    assert json.loads(result.stdout)["verdict"] == "out-of-service"


@pytest.mark.parametrize("method", ["flor", ""])
def test_an_unknown_method_is_refused_with_the_known_ones(method: str) -> None:
    result = run(method, "{}\n")
    assert (result.exit_code, result.stdout) == (2, "")
    assert "must be one of floor, square, axis, decide, height, repeats, area, vin, scan" in result.stderr
