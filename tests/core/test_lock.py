"""When a phone that nobody uses locks itself; the phone's own side is held to the same cases."""

import pytest

from webapp.core.lock import is_locked, is_worth_noting


@pytest.mark.parametrize(
    ("used_s", "now_s", "locked"),
    [(None, 1e9, False), (1e9, 1e9, False), (1e9, 1e9 + 900, False), (1e9, 1e9 + 901, True), (1e9, 1e9 - 901, True)],
)
def test_it_locks_after_its_time_whichever_way_the_clock_went(used_s: float | None, now_s: float, locked: bool) -> None:
    assert is_locked(used_s, now_s, 900) is locked


@pytest.mark.parametrize(
    ("used_s", "now_s", "after_s", "worth"),
    [(None, 0, 900, True), (100, 160, 900, False), (100, 161, 900, True), (100, 106, 60, False), (100, 107, 60, True)],
)
def test_a_use_is_noted_once_a_minute_or_in_a_tenth_of_a_shorter_time(
    used_s: float | None, now_s: float, after_s: float, worth: bool
) -> None:
    assert is_worth_noting(used_s, now_s, after_s) is worth
