"""The database engine and the only ways to use it: `session` to read, `writing` and `share` for one transaction.

SQLite is set up so that a commit that returned is on the disk (WAL with synchronous=FULL), and PostgreSQL so that it
keeps the same two promises: who reads sees one moment, and who writes has no other writer beside. Nothing above this
file knows which database it is.
"""

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager, nullcontext
from functools import partial
from pathlib import Path
from typing import Any
from weakref import WeakKeyDictionary

from sqlalchemy import Connection, create_engine, event
from sqlalchemy.engine import Engine, ExceptionContext, make_url
from sqlalchemy.exc import DBAPIError
from sqlalchemy.exc import TimeoutError as PoolTimeout
from sqlmodel import Session

from webapp.core.errors import Unavailable
from webapp.storage import dialect
from webapp.storage.line import Line, T, Work
from webapp.storage.trouble import READ_ONLY, unavailable

WAIT_S = 5.0
"""How long a transaction waits for another one before it gives up with Unavailable."""

WRITERS = 0x6261_7962
"""The number of the lock that writers take in PostgreSQL; it counts within one database."""

PROMPT = {
    "connect_timeout": 5, "tcp_user_timeout": 10_000, "keepalives_idle": 10, "keepalives_interval": 5,
    "keepalives_count": 3,
}  # fmt: skip
"""A database server that has vanished (libpq's words; seconds, the second in ms) is given up soon, so that the next of
DATABASE_URL's hosts is tried; its own words there go before these."""

CONNECTIONS = 30
RECYCLED_S = 1800
"""So old a connection is opened anew: then one that goes over a proxy, or to a server that is read from alone by now,
does not stay for good."""
NOT_PREPARED = "prepare_threshold"
"""`?prepare_threshold=none` in an address: a pooler stands between, on whose servers no prepared statement is ours."""

# Only SQLite has one: a server's database queues its writers itself, and lets them share its flushes.
lines: WeakKeyDictionary[Engine, Line] = WeakKeyDictionary()


def engine(url: str, wait_s: float = WAIT_S, connections: int = CONNECTIONS) -> Engine:
    """Return an engine for the database at `url`. Nothing is opened or created yet.

    To a server it has at most so many `connections`, each asked whether it still stands before it is used.
    """
    address = make_url(url)
    if address.get_backend_name() != "sqlite":
        said: dict[str, Any] = {name: value for name, value in PROMPT.items() if name not in address.query}
        if address.query.get(NOT_PREPARED) == "none":
            address, said[NOT_PREPARED] = address.difference_update_query([NOT_PREPARED]), None
        pool = {"pool_pre_ping": True, "pool_size": connections, "max_overflow": 0, "pool_recycle": RECYCLED_S}
        made = create_engine(address, connect_args=said, hide_parameters=True, pool_timeout=wait_s or WAIT_S, **pool)
        event.listen(made, "begin", partial(_begin_postgresql, wait_s=wait_s))
        event.listen(made, "handle_error", _leave_a_follower)
        return made
    address = address.set(drivername=dialect.NAME)
    made = create_engine(
        address, connect_args={"timeout": wait_s}, pool_size=40, pool_timeout=wait_s, hide_parameters=True
    )
    event.listen(made, "connect", _prepare_sqlite)
    event.listen(made, "begin", _begin_sqlite)
    event.listen(made, "checkin", _leave_nothing_open)
    lines[made] = Line(WAIT_S, Path(f"{address.database}-line"))
    return made


def _prepare_sqlite(connection: Any, _record: Any) -> None:
    connection.isolation_level = None  # the driver must not begin transactions of its own: _begin_sqlite does
    for pragma in ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON", "temp_store=MEMORY"):
        connection.execute(f"PRAGMA {pragma}")


def _begin_sqlite(connection: Connection) -> None:
    # A writer takes the write lock at once: a read turned write later could be refused after its guard had passed.
    how = "IMMEDIATE" if connection.get_execution_options().get("writing") else "DEFERRED"
    # Straight to the driver: the way through SQLAlchemy's statement machinery takes three times as long.
    dialect.driver(connection).execute(f"BEGIN {how}")


def _leave_nothing_open(connection: Any, _record: Any) -> None:
    # A commit that SQLite refuses leaves the transaction open, while SQLAlchemy takes it for ended.
    if connection is not None and connection.in_transaction:
        connection.rollback()


def _leave_a_follower(context: ExceptionContext) -> None:
    # The server may only be read from by now, and still answers: where DATABASE_URL names the next one, that is found
    # when its connections are given up.
    if getattr(context.original_exception, "sqlstate", None) == READ_ONLY:
        context.is_disconnect = True


def _begin_postgresql(connection: Connection, wait_s: float) -> None:
    asked = connection.get_execution_options()
    if asked.get("beside"):
        return
    if asked.get("writing"):
        # One writer at a time, as on SQLite: guards rely on it. No wait at all cannot be said, so it is a short one.
        connection.exec_driver_sql(f"SET LOCAL lock_timeout = {max(1, round(1000 * wait_s))}")
        connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({WRITERS})")
        connection.exec_driver_sql("SET LOCAL lock_timeout = 0")
    else:
        connection.exec_driver_sql("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ")


@contextmanager
def session(engine: Engine) -> Iterator[Session]:
    """Read: one consistent view of the database; whatever is changed in it is dropped."""
    with _told_plainly(), Session(engine, expire_on_commit=False) as db:
        yield db


@contextmanager
def writing(engine: Engine) -> Iterator[Session]:
    """Write: one transaction, kept when the block ends, dropped whole when it raises.

    Raises Unavailable when the disk is full, the database stays locked, or it cannot be reached.
    """
    with _told_plainly(), _turn(engine), Session(engine, expire_on_commit=False) as db:
        db.connection(execution_options={"writing": True})
        yield db
        db.commit()


@contextmanager
def beside(engine: Engine) -> Iterator[Connection]:
    """Write to PostgreSQL beside other writers: one transaction, which holds the rows that it locks alone."""
    with (
        _told_plainly(),
        engine.connect().execution_options(beside=True) as connection,
        connection.begin(),
    ):
        yield connection


@contextmanager
def copying(connection: Connection, statement: str) -> Iterator[Any]:
    """Copy into PostgreSQL (`COPY … FROM STDIN`): what comes back takes a row at a time by `write_row`."""
    driver = dialect.driver(connection)
    try:
        with driver.cursor() as cursor, cursor.copy(statement) as copy:
            yield copy
    except connection.dialect.loaded_dbapi.Error as error:  # past SQLAlchemy, which would have told it as its own
        if driver.closed:
            connection.invalidate(error)
        lost = {"connection_invalidated": driver.closed, "dialect": connection.dialect, "hide_parameters": True}
        raise DBAPIError.instance(statement, None, error, connection.dialect.loaded_dbapi.Error, **lost) from error


def share(engine: Engine, work: Work[T], meanwhile: Callable[[], object] | None = None) -> T:
    """Write as with `writing`, but something quick: transactions that come together share one flush to the disk.

    `work` gets the connection; another thread may do it, so all that it needs it must bring along. It is one statement,
    which is done whole or not at all, or else it is made by `with_session`. What it made is returned only when what it
    wrote is on the disk. Where there is a wait, this thread calls `meanwhile`; what that makes must not go out before.
    """
    with _told_plainly():
        if line := lines.get(engine):
            return line.share(engine, work, meanwhile)
        with engine.connect().execution_options(writing=True) as connection, connection.begin():
            return work(connection)


def with_session(work: Callable[[Session], T]) -> Work[T]:
    """Work of several statements for `share`: behind a savepoint, so that it is kept or dropped as a whole."""

    def done(connection: Connection) -> T:
        with Session(connection, expire_on_commit=False, join_transaction_mode="create_savepoint") as db:
            made = work(db)
            db.commit()
        return made

    return done


@contextmanager
def _told_plainly() -> Iterator[None]:
    try:
        yield
    except (DBAPIError, PoolTimeout, sqlite3.Error, OSError) as error:
        if (plain := _plainly(error)) is None:
            raise
        raise plain from error


def _plainly(error: BaseException | None) -> Unavailable | None:
    """What happened first is what counts: SQLite drops everything on a full disk, and no savepoint is left to go
    back to, which is a fault of its own.
    """
    while error is not None:
        if isinstance(error, Exception) and (plain := unavailable(error)):
            return plain
        error = error.__context__
    return None


@contextmanager
def _turn(engine: Engine) -> Iterator[None]:
    """Wait in line with this process's other writers; a database that queues writers itself has no line here."""
    with line.alone() if (line := lines.get(engine)) else nullcontext():
        yield
