"""When a phone that nobody uses locks itself. Whoever had it gives their PIN, and goes on where they were.

Seconds are those of the wall's clock: a phone that was switched off meanwhile must be locked, too.
"""

MARK_S = 60.0
"""A use is noted once in so long, so that not every tap has to."""


def is_locked(used_s: float | None, now_s: float, after_s: float) -> bool:
    """Whether so much time has passed since it was used last; a clock that was set back counts as passed, too."""
    return used_s is not None and abs(now_s - used_s) > after_s


def is_worth_noting(used_s: float | None, now_s: float, after_s: float) -> bool:
    """Whether a use now has to be noted, so that the lock comes no more than a tenth of its time too early."""
    return used_s is None or now_s - used_s > min(MARK_S, after_s / 10)
