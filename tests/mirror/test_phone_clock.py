"""The phone's clock over restarts, sleep and clocks that are set: what is told as measured, and what as a guess."""

from webapp.core.clock import interval_s
from webapp.core.state import Clock

from .conftest import Mirror

NOON_MS = 1_772_452_800_000


def clocks(mirror: Mirror, *readings: tuple[int, int, int]) -> list[Clock]:
    """Readings as (wall, worker begun, steady time since), each in ms after noon."""
    asked = [
        {"wall_ms": NOON_MS + wall, "began_ms": NOON_MS + began, "since_ms": since} for wall, began, since in readings
    ]
    return [Clock(**one) for one in mirror.out("phoneClocks", asked)]


def test_a_worker_that_was_stopped_and_started_anew_counts_on(mirror: Mirror) -> None:
    before, after = clocks(mirror, (1_000, 0, 1_000), (91_000, 90_000, 1_000))
    assert before.boot == after.boot
    assert interval_s(before, after) == (90.0, False)


def test_a_phone_that_was_off_comes_back_to_the_time_that_went_by(mirror: Mirror) -> None:
    before, after = clocks(mirror, (60_000, 0, 60_000), (3_660_000, 3_650_000, 10_000))
    assert interval_s(before, after)[0] == 3600.0


def test_a_clock_that_was_set_begins_a_new_boot_and_the_time_is_a_guess(mirror: Mirror) -> None:
    before, after = clocks(mirror, (1_000, 0, 1_000), (3_602_000, 0, 2_000))
    assert before.boot != after.boot
    assert interval_s(before, after)[1]


def test_a_steady_clock_that_stood_still_while_the_phone_slept_does_not_shorten_the_time(mirror: Mirror) -> None:
    before, after = clocks(mirror, (1_000, 0, 1_000), (601_000, 0, 2_000))
    assert interval_s(before, after) == (600.0, True)


def test_a_clock_that_was_set_back_never_gives_a_negative_time(mirror: Mirror) -> None:
    before, after, later = clocks(mirror, (60_000, 0, 60_000), (10_000, 5_000, 5_000), (20_000, 5_000, 15_000))
    assert interval_s(before, after) == (0.0, True)
    assert interval_s(after, later) == (10.0, False)
