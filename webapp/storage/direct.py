"""Statements that every tap makes, straight to the driver.

SQLAlchemy writes them, so they stay the same on every database; but its way of running one costs several times what
the database needs for it. Columns come as the driver gives them: only for text, whole numbers and floats.
"""

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple, cast

from sqlalchemy import Connection, Dialect, Executable
from sqlalchemy.exc import DBAPIError
from sqlalchemy.sql.compiler import SQLCompiler


class Written(NamedTuple):
    """A statement in a database's own words, the values that stand in it, and the order in which it asks for them."""

    text: str
    values: Mapping[str, Any]
    order: Sequence[str]


class Direct:
    """One statement, written once for each sort of database that is asked."""

    def __init__(self, statement: Executable) -> None:
        self._statement = statement
        self._written: dict[str, Written] = {}

    def rows(self, connection: Connection, **given: Any) -> list[Any]:
        """What it returns in this connection's transaction, with these values for its parameters.

        Raises sqlalchemy.exc.DBAPIError, as any other statement does.
        """
        written = self._written.get(connection.dialect.name) or self._write(connection.dialect)
        values = {**written.values, **given}
        ordered = [values[name] for name in written.order] if written.order else values
        try:
            cursor = connection.connection.cursor()
            cursor.execute(written.text, ordered)
            return list(cursor.fetchall())
        except Exception as error:
            if driver_error := getattr(connection.dialect.dbapi, "Error", None):
                raise DBAPIError.instance(written.text, ordered, error, driver_error) from error
            raise

    def _write(self, dialect: Dialect) -> Written:
        compiled = cast(SQLCompiler, self._statement.compile(dialect=dialect))  # type: ignore[attr-defined]
        written = Written(compiled.string, compiled.params, compiled.positiontup or ())
        self._written[dialect.name] = written
        return written
