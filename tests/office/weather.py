"""What goes wrong between shops and a served head office: a bad line, and processes that are killed."""

import os
import signal
import socket
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from random import Random
from threading import Event
from time import CLOCK_BOOTTIME, clock_gettime
from typing import Protocol

import psycopg
import pytest

from tests import postgres
from tests.serving import Shop as Process
from tests.serving import served, until
from webapp.core.errors import BaybookError
from webapp.storage.engine import engine
from webapp.sync.forward import Answer, Exchange, Sent
from webapp.sync.line import line_to

from .conftest import OWNER, Kept, office_settings

DATABASE = "office"
THREADS = 48
SETTLED_S = 8.0
FAULTS = {"none": 70, "dropped before": 8, "dropped after": 8, "repeated": 7, "torn": 7}
"""What happens to a request, and how often in a hundred."""
PASSING = {"office-away", "database-away", "database-locked", "piece-offset"}
"""What shops were told, of which they made something by themselves."""


@dataclass
class Served(Kept):
    """A head office as processes that answer over http."""

    process: Process
    line: Exchange
    first: list[int]
    """The processes that answered at the beginning."""

    def exchange(self, method: str, path: str, headers: Mapping[str, str], body: bytes) -> Answer:
        return self.line(method, path, headers, body)

    def at(self, server: Path) -> "Served":
        """The same, asked in another database server than before."""
        about = office_settings(server, DATABASE, self.settings.data)
        return replace(self, engine=engine(about.database_url), settings=about, socket=server)


@contextmanager
def head_office(folder: Path, *servers: Path) -> Iterator[Served]:
    """Serve a head office whose database lies in the first of these servers, and in the others when that is gone."""
    with postgres.connected(servers[0]) as db:
        db.execute(f"CREATE ROLE {OWNER} LOGIN")
        db.execute(f"CREATE DATABASE {DATABASE} OWNER {OWNER}".encode())
    about = office_settings(servers[0], DATABASE, folder)
    hosts = "".join(f"&host={one}" for one in servers)
    url = f"postgresql+psycopg://{OWNER}@/{DATABASE}?target_session_attrs=read-write{hosts}"
    with served(folder, HEAD_OFFICE="yes", DATABASE_URL=url, HTTPS_PORT="0") as process:
        line, first = line_to(f"http://127.0.0.1:{process.port}"), process.children()
        made = Served(engine(about.database_url), about, servers[0], DATABASE, process, line, first)
        try:
            yield made
        finally:
            made.engine.dispose()


@dataclass
class BadLine:
    """A line to head office on which requests and answers are lost, come twice or are torn, as the dice fall."""

    office: Served
    dice: Random
    had: Counter[str] = field(default_factory=Counter)

    def __call__(self, method: str, path: str, headers: Mapping[str, str], body: bytes) -> Answer:
        (fault,) = self.dice.choices(list(FAULTS), list(FAULTS.values()))
        self.had[fault] += 1
        if fault == "dropped before":
            raise ConnectionResetError(fault)
        if fault == "torn":
            self._torn(method, path, headers, body)
        answer = self.office.line(method, path, headers, body)
        if fault == "repeated":
            answer = self.office.line(method, path, headers, body)
        assert answer.status < 500 or answer.status == 503, answer  # head office knows what befalls it
        if fault == "dropped after":
            raise ConnectionResetError(fault)
        return answer

    def _torn(self, method: str, path: str, headers: Mapping[str, str], body: bytes) -> None:
        """Say the beginning of the request alone, or all of it, and wait for no answer."""
        said = {"Host": "office.example", "Content-Length": str(len(body)), **headers}
        lines = [f"{method} {path} HTTP/1.1", *(f"{name}: {value}" for name, value in said.items()), "", ""]
        whole = "\r\n".join(lines).encode() + body
        with socket.create_connection(("127.0.0.1", self.office.process.port)) as torn:
            torn.sendall(whole[: self.dice.randint(1, len(whole))])
        raise ConnectionResetError("torn")


class Sender(Protocol):
    """A shop, real or simulated."""

    def name(self) -> str: ...
    def entries(self) -> list[str]: ...
    def arrived(self) -> int: ...
    def turn(self, exchange: Exchange) -> Sent | None: ...


class Storm:
    """Shops that send all that they have at once, each over a bad line of its own."""

    def __init__(self, office: Served, shops: Sequence[Sender], seed: int) -> None:
        self.shops, self.told = shops, Counter[str]()
        self.lines = [BadLine(office, Random(f"{seed} {number}")) for number in range(len(shops))]
        self.sending: list[Future[None]] = []
        self._ended = Event()

    @contextmanager
    def blowing(self) -> Iterator[None]:
        """They send; at the end all of them have sent everything. Raises what broke any of them."""
        with ThreadPoolExecutor(THREADS) as threads:
            self.sending = [threads.submit(self._drain, *one) for one in zip(self.shops, self.lines, strict=True)]
            try:
                yield
                for one in self.sending:
                    one.result()
            finally:
                self._ended.set()

    def __str__(self) -> str:
        had = sum((line.had for line in self.lines), Counter[str]())
        return f"requests {dict(had)}; shops were told {dict(self.told)}"

    def asked(self) -> int:
        return sum(line.had.total() for line in self.lines)

    def is_over(self) -> bool:
        return all(one.done() for one in self.sending)

    def after(self, requests: int) -> bool:
        """Wait until so many more requests were made; whether any shop still sends."""
        wanted = self.asked() + requests
        until(lambda: self.asked() >= wanted or self.is_over())
        return not self.is_over()

    def _drain(self, shop: Sender, line: BadLine) -> None:
        """What `forwarding` does, with shorter rests: nobody has a hand in it."""
        more, arrived = True, 0
        while more and not self._ended.is_set():
            try:
                sent = shop.turn(line)
            except BaybookError as error:
                if error.code not in PASSING:
                    raise
                self.told[error.code] += 1
                self._ended.wait(0.05)
            else:
                more = sent is not None and sent.more
            assert shop.arrived() >= arrived, "head office has lost what it said it had"
            arrived = shop.arrived()


def kill_worker(office: Served, dice: Random) -> int:
    """One of the processes that answer, whatever it is at; another takes its place.

    Not one that has just done so: the server takes that for a program that cannot run, and ends.
    """
    able = [one for one in office.process.children() if one in office.first or _age_s(one) > SETTLED_S]
    if able:
        os.kill(dice.choice(able), signal.SIGKILL)
    return len(able[:1])


def _age_s(pid: int) -> float:
    started = int(Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[19])
    return clock_gettime(CLOCK_BOOTTIME) - started / os.sysconf("SC_CLK_TCK")


def end_backends(office: Served, _dice: Random) -> int:
    """Cut all of head office's connections, as somebody who looks after the database can."""
    asked = "SELECT count(pg_terminate_backend(pid)) FROM pg_stat_activity WHERE usename = %s"
    with postgres.connected(office.socket) as db:
        return int((db.execute(asked, (OWNER,)).fetchone() or [0])[0])


def crash_backend(office: Served, dice: Random) -> int:
    """Kill one of the database's processes: it drops all connections and starts anew from its log."""
    asked = "SELECT pid FROM pg_stat_activity WHERE usename = %s ORDER BY pid"
    with postgres.connected(office.socket) as db:
        pids = [pid for (pid,) in db.execute(asked, (OWNER,))]
        if not pids:
            return 0
        os.kill(dice.choice(pids), signal.SIGKILL)
        with pytest.raises(psycopg.OperationalError):  # this connection too is cut, when the server has noticed
            db.execute("SELECT pg_sleep(60)")
    until(lambda: _answers(office.socket))
    return 1


def _answers(server: Path) -> bool:
    try:
        with postgres.connected(server) as db:
            db.execute("SELECT 1")
    except psycopg.OperationalError:
        return False
    return True


DEEDS: dict[str, Callable[[Served, Random], int]] = {
    "worker killed": kill_worker, "connections cut": end_backends, "database crashed": crash_backend,
}  # fmt: skip
"""Each returns how many were struck."""
