"""A server that follows another one, and how far it has come."""

from dataclasses import dataclass

from sqlalchemy import text
from sqlalchemy.engine import Engine

from webapp.storage.engine import session

_STANDING = text(
    "SELECT pg_is_in_recovery() AS follows, EXISTS (SELECT FROM pg_stat_wal_receiver) AS hears, "
    "coalesce(pg_last_wal_replay_lsn() >= pg_last_wal_receive_lsn(), true) AS is_level, "
    "to_char(pg_last_xact_replay_timestamp() AT TIME ZONE 'UTC', 'YYYY-MM-DD\"T\"HH24\\:MI\\:SS.MS\"Z\"') AS at, "
    "extract(epoch FROM clock_timestamp() - pg_last_xact_replay_timestamp()) AS since_s"
)


@dataclass(frozen=True)
class Standing:
    """Whether it `hears` of the server that it follows, and has all that it heard of (`is_level`).

    `at`: the newest commit that it has, None for none yet; `since_s`: how long ago that was, which is no lag while it
    is level and hears.
    """

    hears: bool
    is_level: bool
    at: str | None
    since_s: float | None

    @property
    def is_current(self) -> bool:
        return self.hears and self.is_level


def standing(engine: Engine) -> Standing:
    """Ask it. Raises Unavailable (`database-away`). One that follows nobody any more is the newest there is."""
    with session(engine) as db:
        found = db.connection().execute(_STANDING).one()
    if not found.follows:
        return Standing(True, True, None, None)
    return Standing(found.hears, found.is_level, found.at, None if found.since_s is None else float(found.since_s))
