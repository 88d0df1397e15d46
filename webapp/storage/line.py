"""The line in which the writers of one process stand, and how several of them reach the disk with one flush.

SQLite lets one writer in at a time, and those it keeps out sleep and try again, some of them for long; so they wait
here. What a small transaction costs is mostly the flush at its end. Therefore those that are quick share one: whoever
is at the head of the line does its own work and that of the quick ones behind it, commits for all, and nobody goes on
before that commit has returned.
"""

import os
from collections import deque
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from fcntl import LOCK_EX, flock
from pathlib import Path
from threading import Lock
from typing import Any, TypeVar, cast

from sqlalchemy import Connection
from sqlalchemy.engine import Engine

from webapp.storage.dialect import driver
from webapp.storage.trouble import locked

MOST_TOGETHER = 50

T = TypeVar("T")
Work = Callable[[Connection], T]


def _nothing(_connection: Connection) -> None:
    """Whoever writes alone does all of it elsewhere."""


class _Writer:
    """One in the line. `go` is shut until its turn has come, or until its work has been done for it."""

    def __init__(self, work: Work[Any] | None) -> None:
        self.quick, self._work = work is not None, work or _nothing
        self.made: Any = None
        self.error: BaseException | None = None
        self.turn = False  # it is at the head of the line
        self.go = Lock()
        self.go.acquire()

    def do(self, connection: Connection) -> None:
        try:
            self.made = self._work(connection)
        except BaseException as raised:
            self.error = raised


class Line:
    """Who writes now and who waits, first come first served.

    Processes that serve one shop take turns at the file `gate`: whom SQLite keeps out sleeps, whom the system keeps out
    is woken.
    """

    def __init__(self, wait_s: float, gate: Path) -> None:
        self._wait_s, self._gate = wait_s, gate
        self._door = Lock()
        self._busy = False
        self._behind: deque[_Writer] = deque()

    @property
    def waiting(self) -> int:
        """How many wait for their turn."""
        return len(self._behind)

    @contextmanager
    def alone(self) -> Iterator[None]:
        """This writer's turn, with a transaction of its own to come."""
        me = _Writer(None)
        self._at_head(me)
        self._wait(me)
        try:
            yield
        finally:
            self._give_turn()

    def share(self, engine: Engine, work: Work[T], meanwhile: Callable[[], object] | None = None) -> T:
        """Have this done in a transaction that is shared, perhaps by another thread; return when it is on the disk.

        When the work raises it must leave nothing behind: it is one statement, or has a savepoint of its own.
        `meanwhile` is called where there is a wait, so that the processor has something to do during a flush.
        """
        me = _Writer(work)
        try:
            if not self._at_head(me) and meanwhile:
                meanwhile()
        finally:  # the work is in the line by now, and others wait behind it
            self._wait(me)
            if me.turn:
                self._lead(engine, me)
        if me.error:
            raise me.error
        return cast(T, me.made)

    def _at_head(self, me: _Writer) -> bool:
        """Join the line. Whether there was nobody in it."""
        with self._door:
            if self._busy:
                self._behind.append(me)
            else:
                self._busy = me.turn = True
                me.go.release()
            return me.turn

    def _wait(self, me: _Writer) -> None:
        """Until the turn has come, or the work was done. Raises Unavailable after too long a wait."""
        if me.go.acquire(timeout=self._wait_s):
            return
        with self._door:
            if me in self._behind:
                self._behind.remove(me)
                raise locked()
        me.go.acquire()  # somebody has this one's work in hand just now

    def _lead(self, engine: Engine, me: _Writer) -> None:
        """Do this one's work and that of the quick ones behind it, and commit for all."""
        group = [me]
        try:
            with _transaction(engine, self._gate) as connection:
                for one in group:
                    one.do(connection)
                    if not driver(connection).in_transaction:  # SQLite drops all of it when, for one, the disk is full
                        raise one.error or locked()
                    group.extend(self._next_quick(len(group)))
        except BaseException as trouble:
            for one in group:
                one.error = trouble
        self._give_turn()
        for one in group[1:]:
            one.go.release()

    def _next_quick(self, count: int) -> list[_Writer]:
        with self._door:
            fits = count < MOST_TOGETHER and self._behind and self._behind[0].quick
            return [self._behind.popleft()] if fits else []

    def _give_turn(self) -> None:
        with self._door:
            self._busy = bool(self._behind)
            if self._behind:
                following = self._behind.popleft()
                following.turn = True
                following.go.release()


@contextmanager
def _transaction(engine: Engine, gate: Path) -> Iterator[Connection]:
    """One that is committed at the end, unless something is raised. What can be done before the gate is done there."""
    with engine.connect().execution_options(writing=True) as connection:
        held = os.open(gate, os.O_RDWR | os.O_CREAT, 0o600)
        try:
            flock(held, LOCK_EX)
            with connection.begin():
                yield connection
        finally:
            os.close(held)  # which also lets the next one in
