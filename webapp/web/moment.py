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


def unix_ms() -> int:
    return time.time_ns() // 1_000_000
