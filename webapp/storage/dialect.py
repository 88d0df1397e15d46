"""SQLite as SQLAlchemy knows it, with savepoints that go straight to the driver.

A quick writer works behind a savepoint. Through the compiler, which keeps no compiled savepoints, setting and releasing
one took a seventh of a whole tap.
"""

from typing import Any

from sqlalchemy import Connection
from sqlalchemy.dialects import registry
from sqlalchemy.dialects.sqlite.pysqlite import SQLiteDialect_pysqlite

NAME = "sqlite+direct"


class DirectSQLite(SQLiteDialect_pysqlite):
    """Savepoint names come from SQLAlchemy, which counts them: they need no quoting."""

    driver = "direct"
    supports_statement_cache = True

    def do_savepoint(self, connection: Connection, name: str) -> None:
        driver(connection).execute(f"SAVEPOINT {name}")

    def do_release_savepoint(self, connection: Connection, name: str) -> None:
        driver(connection).execute(f"RELEASE SAVEPOINT {name}")

    def do_rollback_to_savepoint(self, connection: Connection, name: str) -> None:
        driver(connection).execute(f"ROLLBACK TO SAVEPOINT {name}")


def driver(connection: Connection) -> Any:
    """The driver's own connection below SQLAlchemy's."""
    return connection.connection.driver_connection


registry.register("sqlite.direct", __name__, "DirectSQLite")
