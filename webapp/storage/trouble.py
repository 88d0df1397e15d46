"""What the disk and the database say when they cannot keep something, in words for the person who wanted it kept."""

import errno
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy.exc import DBAPIError, OperationalError
from sqlalchemy.exc import TimeoutError as PoolTimeout

from webapp.core.errors import Unavailable

_FULL = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}
READ_ONLY = "25006"
_AWAY = ("08", "57P", READ_ONLY)
"""A connection that failed or was ended, and a server that only follows another one."""
_READ_ONLY = {errno.EROFS, errno.EACCES, errno.EPERM}


def locked() -> Unavailable:
    what = "The database is busy with something else. Nothing was kept; try again in a moment"
    return Unavailable("database-locked", "", what)


def full() -> Unavailable:
    what = "The disk of the shop's computer is full. Nothing was kept; make room on it, then do this again"
    return Unavailable("disk-full", "", what)


def read_only() -> Unavailable:
    what = "The shop's data folder cannot be written to. Nothing was kept; mend its permissions, then do this again"
    return Unavailable("data-read-only", "", what)


def away() -> Unavailable:
    what = "The database cannot be reached. Nothing was kept; see that it runs, then do this again"
    return Unavailable("database-away", "", what)


def unavailable(error: Exception) -> Unavailable | None:
    """Return the plain word for a fault of disk or database; None for a mistake of ours, which must stay loud."""
    if isinstance(error, PoolTimeout):
        return locked()
    if isinstance(error, sqlite3.Error):
        return _of_sqlite(error)
    if isinstance(error, DBAPIError):
        return _of_sqlite(error.orig) if isinstance(error.orig, sqlite3.Error) else _of_server(error)
    if isinstance(error, OSError):
        return full() if error.errno in _FULL else read_only() if error.errno in _READ_ONLY else None
    return None


@contextmanager
def plainly() -> Iterator[None]:
    """Raise Unavailable where the disk cannot keep what is written inside."""
    try:
        yield
    except OSError as error:
        if (plain := unavailable(error)) is None:
            raise
        raise plain from error


def _of_server(error: DBAPIError) -> Unavailable | None:
    """By SQLSTATE, which every database server's driver reports; a lost connection comes without one."""
    state = str(getattr(error.orig, "sqlstate", None) or "")
    if state == "53100":
        return full()
    if state in {"40001", "40P01", "55P03", "57014"}:
        return locked()
    is_lost = error.connection_invalidated or (isinstance(error, OperationalError) and not state)
    return away() if is_lost or state.startswith(_AWAY) else None


def _of_sqlite(error: sqlite3.Error) -> Unavailable | None:
    # The extended codes carry the plain one in their low byte. An error of the driver itself has none.
    code = getattr(error, "sqlite_errorcode", 0) & 0xFF
    if code in {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED}:
        return locked()
    if code == sqlite3.SQLITE_FULL:
        return full()
    if code in {sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PERM}:
        return read_only()
    return away() if code in {sqlite3.SQLITE_IOERR, sqlite3.SQLITE_CANTOPEN} else None
