"""Intervals between two moments, whatever the clocks did in between. No clock is read here."""

from datetime import UTC, datetime

from .numbers import rounded
from .state import Clock

# Where the steady clock broke (a reboot, another phone), nobody can tell work from a night's rest; more than this
# is not believed.
LONGEST_GUESS_S = 12 * 3600.0


def interval_s(before: Clock, after: Clock) -> tuple[float, bool]:
    """Seconds from one moment to the other, and whether that is an estimate from the wall clock. Never negative."""
    if _goes_on(before, after):
        return rounded(after.mono_s - before.mono_s, 3), False
    return _believed(_apart_s(before, after)), True


def told_s(before: Clock, after: Clock, ahead_s: float, *, elsewhere: bool) -> tuple[float, bool, float]:
    """Seconds to count between two events, whether that is an estimate, and how far what was counted is then ahead of
    the wall clock. `elsewhere`: they come from two phones, whose clocks may differ and which may have worked at once.

    A guess counts only what lies beyond the latest moment that was counted to, so that phones taking turns never count
    more than the wall did. One phone's own clock set back is no such moment: it just begins anew.
    """
    if _goes_on(before, after):
        return rounded(after.mono_s - before.mono_s, 3), False, ahead_s
    apart_s = _apart_s(before, after)
    beyond_s = (apart_s if elsewhere else max(apart_s, 0.0)) - ahead_s
    return _believed(beyond_s), True, rounded(max(-beyond_s, 0.0), 3)


def _goes_on(before: Clock, after: Clock) -> bool:
    return before.boot == after.boot and after.mono_s >= before.mono_s


def _believed(guess_s: float) -> float:
    return rounded(min(max(guess_s, 0.0), LONGEST_GUESS_S), 3)


def _apart_s(before: Clock, after: Clock) -> float:
    return (_wall(after.at) - _wall(before.at)).total_seconds()


def _wall(at: str) -> datetime:
    moment = datetime.fromisoformat(at)
    return moment if moment.tzinfo else moment.replace(tzinfo=UTC)
