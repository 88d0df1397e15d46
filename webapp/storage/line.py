"""The line in which the writers of one process stand, and how several of them reach the disk with one flush.

SQLite lets one writer in at a time, and those it keeps out sleep and try again, some of them for long; so they wait
here. What a small transaction costs is mostly the flush at its end. Therefore those that are quick share one: each
works behind a savepoint of its own in the transaction that the one before it left open, whoever is not followed by
another quick one commits for all, and nobody goes on before that commit has returned.
"""

import os
from collections import deque
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from fcntl import LOCK_EX, flock
from pathlib import Path
from threading import Event, Lock

from sqlalchemy import Connection
from sqlalchemy.engine import Engine

from webapp.storage.dialect import driver
from webapp.storage.trouble import locked

MOST_TOGETHER = 50


class Shared:
    """One transaction in which several writers work one after another.

    Processes that serve one shop take turns at the file `gate`: whom SQLite keeps out sleeps, whom the system keeps out
    is woken.
    """

    def __init__(self, engine: Engine, gate: Path) -> None:
        self.writers = 0
        self._ended = Event()
        self._trouble: BaseException | None = None
        with ExitStack() as undone:
            self._gate = os.open(gate, os.O_RDWR | os.O_CREAT, 0o600)
            undone.callback(os.close, self._gate)  # which also lets the next one in
            flock(self._gate, LOCK_EX)
            self.connection: Connection = engine.connect().execution_options(writing=True)
            undone.callback(self.connection.close)
            self.connection.begin()
            self._close = undone.pop_all()

    def is_open(self) -> bool:
        """SQLite itself drops a whole transaction when, for one, the disk is full."""
        return bool(driver(self.connection).in_transaction)

    def end(self, trouble: BaseException | None = None) -> None:
        """Commit, unless there is trouble already; let all those go on who wait for it."""
        self._trouble = trouble
        try:
            if trouble is None:
                self.connection.commit()
        except BaseException as failed:
            self._trouble = failed
        finally:
            self._close.close()
            self._ended.set()

    def wait(self) -> None:
        """Return when the commit has. Raises what kept it from being one."""
        self._ended.wait()
        if self._trouble:
            raise self._trouble


class _Waiting:
    """A writer in the line. `go` is shut until the turn is given to it."""

    def __init__(self, quick: bool) -> None:
        self.quick = quick
        self.given = False
        self.go = Lock()
        self.go.acquire()


class Line:
    """Who writes now, who waits, first come first served, and the transaction that was left open for the next."""

    def __init__(self, wait_s: float, gate: Path) -> None:
        self._wait_s, self._gate = wait_s, gate
        self._door = Lock()
        self._busy = False
        self._behind: deque[_Waiting] = deque()
        self._left_open: Shared | None = None

    @property
    def waiting(self) -> int:
        """How many wait for their turn."""
        return len(self._behind)

    @contextmanager
    def alone(self) -> Iterator[None]:
        """This writer's turn, with a transaction of its own to come."""
        self._take_turn(quick=False)
        try:
            yield
        finally:
            self._give_turn()

    @contextmanager
    def together(self, engine: Engine) -> Iterator[Connection]:
        """This writer's turn in a transaction that is shared; left when all of it is on the disk.

        The writer must work behind a savepoint, and drop its own part, and nothing else, when it raises.
        """
        self._take_turn(quick=True)
        handed_on, error = False, None
        try:
            shared, self._left_open = self._left_open or Shared(engine, self._gate), None
            shared.writers += 1
            try:
                yield shared.connection
            except BaseException as raised:
                error = raised
            if not shared.is_open():
                shared.end(error or locked())
            elif not (handed_on := self._hand_on(shared)):
                shared.end()
        finally:
            if not handed_on:
                self._give_turn()
        shared.wait()
        if error:
            raise error

    def _take_turn(self, *, quick: bool) -> None:
        with self._door:
            if not self._busy:
                self._busy = True
                return
            me = _Waiting(quick)
            self._behind.append(me)
        if me.go.acquire(timeout=self._wait_s):
            return
        with self._door:
            if not me.given:  # else the turn came just now, perhaps with a transaction left open, and must be taken
                self._behind.remove(me)
                raise locked()

    def _give_turn(self) -> None:
        with self._door:
            self._busy = bool(self._behind)
            if self._behind:
                self._give_to_next()

    def _hand_on(self, shared: Shared) -> bool:
        """Leave the transaction open for the next in line, if that one is quick; whether that was done."""
        with self._door:
            if shared.writers >= MOST_TOGETHER or not (self._behind and self._behind[0].quick):
                return False
            self._left_open = shared
            self._give_to_next()
            return True

    def _give_to_next(self) -> None:
        following = self._behind.popleft()
        following.given = True
        following.go.release()
