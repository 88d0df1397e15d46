"""Now. The one place where this room reads a clock."""

from datetime import UTC, datetime

from webapp.storage.moments import instant


def now() -> str:
    return instant(datetime.now(UTC))
