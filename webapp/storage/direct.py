"""Statements that every tap makes, straight to the driver.

SQLAlchemy writes them, so they stay the same on every database; but its way of running one costs several times what
the database needs for it. Columns come as the driver gives them: only for text, whole numbers and floats.
"""

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any, NamedTuple, cast

from sqlalchemy import Connection, Dialect, Executable
from sqlalchemy.exc import DBAPIError
from sqlalchemy.sql.compiler import SQLCompiler


class Written(NamedTuple):
    """A statement in a database's own words, the values that stand in it, and the order in which it asks for them."""

    text: str
    values: Mapping[str, Any]
    order: Sequence[str]

    def ordered(self, given: Mapping[str, Any]) -> Any:
        """The values as the driver wants them: in a row, or by name."""
        values = {**self.values, **given}
        return [values[name] for name in self.order] if self.order else values


@contextmanager
def _as_any_other(connection: Connection, written: Written, values: Any) -> Iterator[None]:
    """Tell what the driver raises as SQLAlchemy would have told it."""
    try:
        yield
    except Exception as error:
        if driver_error := getattr(connection.dialect.dbapi, "Error", None):
            raise DBAPIError.instance(written.text, values, error, driver_error) from error
        raise


class Direct:
    """One statement, written once for each sort of database that is asked."""

    def __init__(self, statement: Executable) -> None:
        self._statement = statement
        self._written: dict[str, Written] = {}

    def rows(self, connection: Connection, **given: Any) -> list[Any]:
        """What it returns in this connection's transaction, with these values for its parameters.

        Raises sqlalchemy.exc.DBAPIError, as any other statement does.
        """
        written = self._in_words_of(connection.dialect)
        values = written.ordered(given)
        with _as_any_other(connection, written, values):
            cursor = connection.connection.cursor()
            cursor.execute(written.text, values)
            return list(cursor.fetchall())

    def many(self, connection: Connection, given: Sequence[Mapping[str, Any]]) -> None:
        """Run it once with each of these, as `rows` does; nothing is returned."""
        written = self._in_words_of(connection.dialect)
        values = [written.ordered(one) for one in given]
        with _as_any_other(connection, written, values):
            connection.connection.cursor().executemany(written.text, values)

    def _in_words_of(self, dialect: Dialect) -> Written:
        return self._written.get(dialect.name) or self._write(dialect)

    def _write(self, dialect: Dialect) -> Written:
        compiled = cast(SQLCompiler, self._statement.compile(dialect=dialect))  # type: ignore[attr-defined]
        written = Written(compiled.string, compiled.params, compiled.positiontup or ())
        self._written[dialect.name] = written
        return written
