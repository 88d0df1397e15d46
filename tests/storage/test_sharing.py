"""Quick writers that come at the same time share one flush; each is still kept or dropped by itself."""

import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Event, Thread
from time import monotonic, sleep
from typing import Any

import pytest
from sqlalchemy import event, text
from sqlalchemy.engine import Engine
from sqlmodel import Session, select

from webapp.config import Settings
from webapp.core.errors import Unavailable
from webapp.storage.engine import engine as engine_for
from webapp.storage.engine import lines, session, share, with_session, writing
from webapp.storage.line import MOST_TOGETHER, Line
from webapp.storage.tables import Item

pytestmark = pytest.mark.sqlite

Work = Callable[[Session], object]


def tool(code: str, note: str = "") -> Item:
    return Item(code=code, kind="tool", is_="tape", name="Tape", note=note)


def adds(code: str, note: str = "") -> Work:
    return lambda db: db.add(tool(code, note))


def codes(engine: Engine) -> list[str]:
    with session(engine) as db:
        return sorted(item.code for item in db.exec(select(Item)))


def until(holds: Callable[[], bool]) -> None:
    """Wait for what another thread is about to do; for ten seconds at most."""
    late = monotonic() + 10
    while not holds():
        assert monotonic() < late
        sleep(0.001)


class Writer(Thread):
    """A thread that does some work in a shared transaction and tells how it ended."""

    def __init__(self, engine: Engine, work: Work) -> None:
        super().__init__(daemon=True)
        self.engine, self.work = engine, work
        self.ended: str | BaseException = ""
        self.start()

    def run(self) -> None:
        try:
            share(self.engine, with_session(self.work))
            self.ended = "kept"
        except BaseException as error:
            self.ended = error


def together(engine: Engine, *works: Work) -> list[Writer]:
    """Let the writers come one after another while somebody else is writing, then let them all through."""
    writers: list[Writer] = []
    with writing(engine):
        for number, work in enumerate(works, 1):
            writers.append(Writer(engine, work))
            until(lambda: lines[engine].waiting == number)  # noqa: B023 - asked in this very turn
    for writer in writers:
        writer.join(10)
    return writers


@pytest.fixture
def commits(engine: Engine) -> Iterator[list[str]]:
    """A mark for every commit from now on."""
    seen: list[str] = []

    def mark(_connection: Any) -> None:
        seen.append("commit")

    event.listen(engine, "commit", mark)
    yield seen
    event.remove(engine, "commit", mark)


def test_one_alone_is_kept_when_it_is_done(engine: Engine, commits: list[str]) -> None:
    share(engine, with_session(adds("T-1")))
    assert codes(engine) == ["T-1"]
    assert commits == ["commit"]


def test_those_who_come_together_are_all_kept_by_one_commit(engine: Engine, commits: list[str]) -> None:
    writers = together(engine, *(adds(f"T-{number}") for number in range(8)))
    assert [writer.ended for writer in writers] == ["kept"] * 8
    assert codes(engine) == [f"T-{number}" for number in range(8)]
    assert len(commits) == 2  # that of the writer they waited for, and their own


def test_no_more_than_a_certain_number_wait_for_each_other(engine: Engine, commits: list[str]) -> None:
    writers = together(engine, *(adds(f"T-{number:03}") for number in range(MOST_TOGETHER + 1)))
    assert {writer.ended for writer in writers} == {"kept"}
    assert len(commits) == 3


def test_who_comes_later_sees_what_those_before_wrote(engine: Engine) -> None:
    def count(db: Session) -> None:
        db.add(tool(f"T-{len(db.exec(select(Item)).all())}"))

    together(engine, count, count, count)
    assert codes(engine) == ["T-0", "T-1", "T-2"]


def test_who_raises_drops_its_own_work_and_nothing_else(engine: Engine) -> None:
    def write_and_fail(db: Session) -> None:
        db.add(tool("T-2"))
        db.flush()
        raise ZeroDivisionError

    writers = together(engine, adds("T-1"), write_and_fail, adds("T-3"))
    assert isinstance(writers[1].ended, ZeroDivisionError)
    assert codes(engine) == ["T-1", "T-3"]


def test_a_refused_row_drops_its_own_work_and_nothing_else(engine: Engine) -> None:
    writers = together(engine, adds("T-1"), adds("T-1"), adds("T-3"))
    assert [str(type(writer.ended).__name__) for writer in writers] == ["str", "IntegrityError", "str"]
    assert codes(engine) == ["T-1", "T-3"]


def test_nobody_goes_on_before_the_commit(engine: Engine) -> None:
    inside, may_go = Event(), Event()

    def dawdle(db: Session) -> None:
        db.add(tool("T-2"))
        inside.set()
        assert may_go.wait(10)

    with writing(engine):
        first = Writer(engine, adds("T-1"))
        until(lambda: lines[engine].waiting == 1)
        second = Writer(engine, dawdle)
        until(lambda: lines[engine].waiting == 2)
    assert inside.wait(10)
    assert (first.is_alive(), codes(engine)) == (True, [])
    may_go.set()
    first.join(10)
    second.join(10)
    assert codes(engine) == ["T-1", "T-2"]


def test_who_writes_alone_finds_those_before_it_committed_and_they_do_not_wait_for_it(engine: Engine) -> None:
    seen: list[list[str]] = []

    def write_alone() -> None:
        with writing(engine):
            quick.join(10)
            seen.append(codes(engine))

    with writing(engine):
        quick = Writer(engine, adds("T-1"))
        until(lambda: lines[engine].waiting == 1)
        slow = Thread(target=write_alone, daemon=True)
        slow.start()
        until(lambda: lines[engine].waiting == 2)
        last = Writer(engine, adds("T-2"))
        until(lambda: lines[engine].waiting == 3)
    for thread in (slow, last):
        thread.join(10)
    assert seen == [["T-1"]]
    assert codes(engine) == ["T-1", "T-2"]


def test_who_has_waited_too_long_is_told_so_and_the_line_goes_on_without_it(engine: Engine, shop: Settings) -> None:
    lines[engine] = Line(0.01, shop.data / "line")
    with writing(engine):
        late = Writer(engine, adds("T-1"))
        late.join(10)
    assert isinstance(late.ended, Unavailable)
    assert late.ended.code == "database-locked"
    share(engine, with_session(adds("T-2")))
    assert codes(engine) == ["T-2"]


def test_a_full_disk_is_told_to_all_who_shared_and_nothing_of_it_stays(engine: Engine) -> None:
    @contextmanager
    def no_room() -> Iterator[None]:
        def forbid(connection: Any, _record: Any) -> None:
            (pages,) = connection.execute("PRAGMA page_count").fetchone()
            connection.execute(f"PRAGMA max_page_count={pages}")

        engine.dispose()
        event.listen(engine, "connect", forbid)
        yield
        event.remove(engine, "connect", forbid)
        engine.dispose()

    with no_room():
        writers = together(engine, adds("T-1"), adds("T-2", "x" * 1_000_000), adds("T-3"))
    # SQLite drops the whole transaction then: that of the first two. The third had one of its own.
    assert [getattr(writer.ended, "code", writer.ended) for writer in writers] == ["disk-full", "disk-full", "kept"]
    assert codes(engine) == ["T-3"]
    share(engine, with_session(adds("T-9")))
    assert codes(engine) == ["T-3", "T-9"]


def test_a_commit_that_fails_is_told_to_all_who_shared(engine: Engine) -> None:
    def owe(db: Session) -> None:
        db.connection().execute(text("PRAGMA defer_foreign_keys=ON"))
        db.add(Item(code="T-2", kind="target", is_="mat", name="Mat", home="nowhere"))

    writers = together(engine, adds("T-1"), owe)
    assert [str(type(writer.ended).__name__) for writer in writers] == ["IntegrityError"] * 2
    assert codes(engine) == []


def test_a_database_locked_by_another_process_is_said_plainly(engine: Engine) -> None:
    impatient = engine_for(str(engine.url), wait_s=0)
    with writing(engine), pytest.raises(Unavailable) as refused:
        share(impatient, with_session(adds("T-1")))
    assert refused.value.code == "database-locked"
    share(impatient, with_session(adds("T-2")))
    impatient.dispose()
    assert codes(engine) == ["T-2"]


WRITE_MANY = """
import sys
from webapp.storage.engine import engine, share, with_session
from webapp.storage.tables import Item
from sqlmodel import select

made = engine(sys.argv[1])

def add(number):
    def work(db):
        seen = len(db.exec(select(Item)).all())
        db.add(Item(code=f"{sys.argv[2]}-{number}", kind="tool", is_="tape", name="Tape", note=str(seen)))
    return work

for number in range(40):
    share(made, with_session(add(number)))
"""


def test_processes_take_turns_and_no_two_write_from_the_same_moment(engine: Engine) -> None:
    command = [sys.executable, "-c", WRITE_MANY, str(engine.url)]
    writers = [subprocess.Popen([*command, f"T{number}"]) for number in range(3)]
    assert [writer.wait(60) for writer in writers] == [0, 0, 0]
    with session(engine) as db:
        assert sorted(int(item.note) for item in db.exec(select(Item))) == list(range(120))


def test_who_has_to_wait_may_do_something_meanwhile(engine: Engine) -> None:
    seen: list[list[str]] = []

    def wait_beside() -> None:
        share(engine, with_session(adds("T-2")), lambda: seen.append(codes(engine)))

    with writing(engine) as db:
        db.add(tool("T-1"))
        waits = Thread(target=wait_beside)
        waits.start()
        until(lambda: bool(seen))
    waits.join(10)
    assert seen == [[]]  # called once, while the one before was still writing
    assert codes(engine) == ["T-1", "T-2"]


def test_who_need_not_wait_is_not_given_anything_to_do(engine: Engine) -> None:
    share(engine, with_session(adds("T-1")), lambda: 1 / 0)
    assert codes(engine) == ["T-1"]


def test_what_goes_wrong_meanwhile_is_told_and_the_work_is_done_all_the_same(engine: Engine) -> None:
    told: list[BaseException] = []

    def wait_beside() -> None:
        try:
            share(engine, with_session(adds("T-2")), lambda: 1 / 0)
        except ZeroDivisionError as error:
            told.append(error)

    with writing(engine):
        waits = Thread(target=wait_beside)
        waits.start()
        until(lambda: lines[engine].waiting == 1)
    waits.join(10)
    assert len(told) == 1
    assert codes(engine) == ["T-2"]
