"""When the disk is full or the database is locked a clear page says so, and nothing half written stays."""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import event
from sqlalchemy.engine import Engine

from tests.cast import ADA, scan_badge
from webapp.config import Settings
from webapp.storage import kit
from webapp.storage.engine import engine as engine_for
from webapp.storage.engine import session, writing

MOST = 60  # so many items need more room than a new database has left in its last pages
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

    def forbid_growth(connection, _record) -> None:  # type: ignore[no-untyped-def]
        (pages,) = connection.execute("PRAGMA page_count").fetchone()
        connection.execute(f"PRAGMA max_page_count={pages}")

    engine.dispose()
    event.listen(engine, "connect", forbid_growth)
    yield
    event.remove(engine, "connect", forbid_growth)
    engine.dispose()


@pytest.fixture
def impatient(app: Flask, client: FlaskClient, shop: Settings) -> Iterator[Engine]:
    """The shop's engine, but one that does not wait for a lock."""
    made = engine_for(shop.database_url, wait_s=0)
    app.extensions["engine"] = made
    yield made
    made.dispose()


@pytest.mark.parametrize(
    ("trouble", "words"),
    [
        (locked, "The database is busy with something else. Nothing was kept; try again"),
        (full, "disk of the shop&#39;s computer is full. Nothing was kept; make room"),
    ],
)
def test_the_form_says_so_keeps_what_was_typed_and_works_again_afterwards(
    client: FlaskClient, impatient: Engine, trouble: Trouble, words: str
) -> None:
    def count() -> int:
        with session(impatient) as db:
            return len(kit.items(db))

    scan_badge(client, ADA)
    sent = {"what": "bay:bay", "name": "Bay far away", "note": "The northern hall. " * 25}
    before = count()
    with trouble(impatient):
        kept = 0
        while (answer := client.post("/kit/new", data=sent)).status_code == 303 and kept < MOST:
            kept += 1
    assert answer.status_code == 503
    assert words in answer.text
    assert 'value="Bay far away"' in answer.text
    assert count() == before + kept
    assert client.post("/kit/new", data=sent).status_code == 303
    assert count() == before + kept + 1
