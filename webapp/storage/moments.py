"""Sums with instants as they are kept: ISO 8601, UTC, milliseconds."""

from datetime import UTC, datetime, timedelta


def instant(moment: datetime) -> str:
    """The one spelling of a moment."""
    return moment.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def later(at: str, seconds: float) -> str:
    """The instant so many seconds later."""
    return instant(datetime.fromisoformat(at) + timedelta(seconds=seconds))


def seconds_between(begin: str, end: str) -> float:
    """From one instant to the other; negative where the end lies before."""
    return (datetime.fromisoformat(end) - datetime.fromisoformat(begin)).total_seconds()


def local_day(at: str) -> str:
    """The shop's calendar day on which that was, in the server's time zone."""
    return datetime.fromisoformat(at).astimezone().date().isoformat()
