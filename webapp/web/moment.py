"""Now, on the three clocks that an event carries. The one place where the server reads a clock for the journal."""

import time
from datetime import UTC, datetime
from functools import lru_cache
from pathlib import Path
from uuid import uuid4

from webapp.core.state import Clock

BOOT_ID = Path("/proc/sys/kernel/random/boot_id")


@lru_cache
def boot() -> str:
    """What the steady clock counts from: the machine's start where the system tells it, else this process's."""
    try:
        return BOOT_ID.read_text().strip()
    except OSError:
        return f"process-{uuid4()}"


def now() -> Clock:
    at = datetime.now(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
    steady = time.clock_gettime(time.CLOCK_BOOTTIME) if hasattr(time, "CLOCK_BOOTTIME") else time.monotonic()
    return Clock(at, round(steady, 3), boot())


def today() -> str:
    """The shop's calendar day, in the server's time zone."""
    return datetime.now().astimezone().date().isoformat()


def local(at: str) -> datetime:
    """An instant of the journal as the clock on the shop's wall showed it."""
    return datetime.fromisoformat(at).astimezone()


def day_of(at: str) -> str:
    """The shop's calendar day on which that was."""
    return local(at).date().isoformat()


def day_began(at: str) -> str:
    """When that day of the shop's began, as an instant of the journal."""
    midnight = local(at).replace(hour=0, minute=0, second=0, microsecond=0, tzinfo=None).astimezone(UTC)
    return midnight.isoformat(timespec="milliseconds").replace("+00:00", "Z")


def unix_ms() -> int:
    return time.time_ns() // 1_000_000
