"""Intervals between two moments, whatever the clocks did in between. No clock is read here."""

from datetime import UTC, datetime

from .numbers import rounded
from .state import Clock

# Where the steady clock broke (a reboot, another phone), nobody can tell work from a night's rest; more than this
# is not believed.
LONGEST_GUESS_S = 12 * 3600.0


def interval_s(before: Clock, after: Clock) -> tuple[float, bool]:
    """Seconds from one moment to the other, and whether that is an estimate from the wall clock. Never negative."""
    if before.boot == after.boot and after.mono_s >= before.mono_s:
        return rounded(after.mono_s - before.mono_s, 3), False
    guess = (_wall(after.at) - _wall(before.at)).total_seconds()
    return rounded(min(max(guess, 0.0), LONGEST_GUESS_S), 3), True


def _wall(at: str) -> datetime:
    moment = datetime.fromisoformat(at)
    return moment if moment.tzinfo else moment.replace(tzinfo=UTC)
