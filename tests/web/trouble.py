"""A database that is locked, and a disk that is full: real ones, for as long as a block lasts."""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager

import pytest
from sqlalchemy import event
from sqlalchemy.engine import Engine

from webapp.storage.engine import engine as engine_for
from webapp.storage.engine import writing

Trouble = Callable[[Engine], AbstractContextManager[None]]


@contextmanager
def locked(engine: Engine) -> Iterator[None]:
    """Another process holds the write lock."""
    other = engine_for(str(engine.url))
    with writing(other):
        yield
    other.dispose()


@contextmanager
def full(engine: Engine) -> Iterator[None]:
    """The database may not grow: SQLite's own limit gives the very error that a full disk gives."""

    if engine.dialect.name != "sqlite":
        pytest.skip("a server's disk is the server's")

    def forbid_growth(connection, _record) -> None:  # type: ignore[no-untyped-def]
        (pages,) = connection.execute("PRAGMA page_count").fetchone()
        connection.execute(f"PRAGMA max_page_count={pages}")

    engine.dispose()
    event.listen(engine, "connect", forbid_growth)
    yield
    event.remove(engine, "connect", forbid_growth)
    engine.dispose()
