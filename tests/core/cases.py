"""The cases in tests/cases/, which the phone's mirror of the rules runs as well.

Each is ``{"name", "in", "out"}`` or ``{"name", "in", "error": {"code", "field", "message"}}``. Numbers agree to nine
digits, or to a billionth of their unit where the true value is 0.
"""

import json
from collections.abc import Callable
from math import isclose
from pathlib import Path
from typing import Any

import pytest

from webapp.core.errors import BaybookError

CASES = Path(__file__).parent.parent / "cases"


def cases(method: str) -> list[Any]:
    """Return the method's cases as pytest parameters, each under its own name."""
    return [pytest.param(case, id=case["name"]) for case in read_cases(method)]


def read_cases(method: str) -> list[dict[str, Any]]:
    """Return the method's cases as they stand in the file."""
    found: list[dict[str, Any]] = json.loads((CASES / f"{method}.json").read_text("utf-8"))
    return found


def check(case: dict[str, Any], rule: Callable[[Any], Any]) -> None:
    """Assert that the rule answers, or refuses, as the case says."""
    try:
        found = {"out": rule(case["in"])}
    except BaybookError as error:
        found = error.as_dict()
    wanted = {key: case[key] for key in ("out", "error") if key in case}
    assert same(found, wanted), found


def same(found: Any, wanted: Any) -> bool:
    """Say whether two JSON values are the same, numbers within the rules' common precision."""
    if isinstance(wanted, dict) and isinstance(found, dict):
        return found.keys() == wanted.keys() and all(same(found[key], wanted[key]) for key in wanted)
    if isinstance(wanted, list) and isinstance(found, list):
        return len(found) == len(wanted) and all(map(same, found, wanted))
    if isinstance(wanted, float) and isinstance(found, int | float):
        return isclose(found, wanted, rel_tol=1e-9, abs_tol=1e-9)
    return bool(found == wanted)
