"""One transaction is kept whole or not at all, and a full disk or a locked database is said plainly."""

from collections.abc import Iterator
from threading import Thread

import pytest
from sqlalchemy import text
from sqlalchemy.engine import Engine
from sqlalchemy.exc import IntegrityError
from sqlmodel import select

from webapp.core.errors import Unavailable
from webapp.storage.engine import engine as engine_for
from webapp.storage.engine import session, writing
from webapp.storage.tables import Item


def a_tool(code: str, note: str = "") -> Item:
    return Item(code=code, kind="tool", is_="tape", name="Tape", note=note)


def codes(engine: Engine) -> list[str]:
    with session(engine) as db:
        return sorted(item.code for item in db.exec(select(Item)))


@pytest.fixture
def impatient(engine: Engine) -> Iterator[Engine]:
    """A second engine on the same database, as another process would have it, that does not wait for the lock."""
    made = engine_for(engine.url.render_as_string(hide_password=False), wait_s=0)
    yield made
    made.dispose()


@pytest.mark.sqlite
def test_sqlite_flushes_every_commit_to_the_disk_and_holds_foreign_keys(engine: Engine) -> None:
    with session(engine) as db:
        read = {
            name: db.connection().execute(text(f"PRAGMA {name}")).scalar() for name in ("journal_mode", "synchronous")
        }
        assert read == {"journal_mode": "wal", "synchronous": 2}
    with pytest.raises(IntegrityError), writing(engine) as db:
        db.add(Item(code="T-1", kind="target", is_="mat", name="Mat", home="S-9"))


def test_what_is_written_is_there_afterwards(engine: Engine) -> None:
    with writing(engine) as db:
        db.add(a_tool("T-1"))
    assert codes(engine) == ["T-1"]


def test_an_error_inside_drops_the_whole_transaction(engine: Engine) -> None:
    def write_and_fail() -> None:
        with writing(engine) as db:
            db.add(a_tool("T-1"))
            db.flush()
            raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        write_and_fail()
    assert codes(engine) == []


def test_a_reading_session_keeps_nothing(engine: Engine) -> None:
    with session(engine) as db:
        db.add(a_tool("T-1"))
        db.flush()
    assert codes(engine) == []


def test_a_reading_session_sees_one_moment_while_others_write(engine: Engine) -> None:
    with session(engine) as db:
        assert db.exec(select(Item)).all() == []
        with writing(engine) as other:
            other.add(a_tool("T-1"))
        assert db.exec(select(Item)).all() == []
    assert codes(engine) == ["T-1"]


def test_a_database_locked_by_another_process_is_said_plainly(engine: Engine, impatient: Engine) -> None:
    with writing(engine) as db:
        db.add(a_tool("T-1"))
        with pytest.raises(Unavailable) as refused, writing(impatient) as other:
            other.add(a_tool("T-2"))
    assert refused.value.code == "database-locked"
    assert "Nothing was kept" in refused.value.message
    assert codes(engine) == ["T-1"]


@pytest.mark.sqlite
def test_a_full_disk_is_said_plainly_and_nothing_half_written_stays(engine: Engine) -> None:
    with engine.connect() as connection:
        pages = connection.execute(text("PRAGMA page_count")).scalar()
    limited = engine_for(str(engine.url))
    with limited.connect() as connection:  # SQLite's own limit gives the very error that a full disk gives
        connection.execute(text(f"PRAGMA max_page_count={pages}"))

    def write_much() -> None:
        with writing(limited) as db:
            db.add(a_tool("T-1"))
            db.flush()
            db.add(a_tool("T-2", note="x" * 1_000_000))

    with pytest.raises(Unavailable) as refused:
        write_much()
    limited.dispose()
    assert refused.value.code == "disk-full"
    assert codes(engine) == []
    with writing(engine) as db:
        db.add(a_tool("T-3"))
    assert codes(engine) == ["T-3"]


@pytest.mark.sqlite
def test_a_commit_that_is_refused_keeps_nothing_and_leaves_nothing_open(engine: Engine) -> None:
    def owe_a_home() -> None:
        with writing(engine) as db:
            db.connection().execute(text("PRAGMA defer_foreign_keys=ON"))
            db.add(Item(code="T-1", kind="target", is_="mat", name="Mat", home="nowhere"))

    with pytest.raises(IntegrityError):
        owe_a_home()
    with writing(engine) as db:
        db.add(a_tool("T-2"))
    assert codes(engine) == ["T-2"]


def test_a_database_that_cannot_be_opened_is_said_plainly(engine: Engine) -> None:
    nowhere = engine_for("sqlite:////nonexistent/folder/baybook.db")
    with pytest.raises(Unavailable) as refused, session(nowhere) as db:
        db.connection()
    assert refused.value.code == "database-away"


def test_writers_at_the_same_time_stand_in_line_and_all_get_through(engine: Engine) -> None:
    def write(writer: int) -> None:
        for n in range(10):
            with writing(engine) as db:
                seen = len(db.exec(select(Item)).all())
                db.add(a_tool(f"T-{writer}-{n}", note=str(seen)))

    threads = [Thread(target=write, args=(writer,)) for writer in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    with session(engine) as db:
        # Each writer saw all that were before it: no two read the same moment.
        assert sorted(int(item.note) for item in db.exec(select(Item))) == list(range(80))
