"""Power loss while several of the server's processes write: what any of them has acknowledged is on the disk.

The processes are those of `baybook serve`, phones come to them at the same time, and each answer is noted with the
files as they lay there. See test_power_loss.py for what may be left of them.
"""

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from http.client import HTTPConnection
from itertools import count
from pathlib import Path
from random import Random
from typing import Any, cast

import pytest
from flask.testing import FlaskClient

from tests.browser.shop import free_port
from tests.sync.conftest import Exchange
from tests.sync.phone import Phone
from tests.sync.test_power_loss import FRAME_HEADER, ROUNDS, Disk, must_hold, recovered

pytestmark = pytest.mark.sqlite

PHONES = 4
MOST_ROUNDS = 40


@dataclass(frozen=True)
class Answer:
    """What `Phone` asks of an answer."""

    status_code: int
    body: bytes

    @property
    def text(self) -> str:
        return self.body.decode()

    def get_json(self) -> Any:
        return json.loads(self.body)


class Served:
    """A shop that is served by processes of its own; every request comes over a new connection, so to any of them."""

    def __init__(self, process: subprocess.Popen[str], port: int) -> None:
        self.process, self.port = process, port

    def open(self, path: str, *, method: str, data: bytes, headers: dict[str, str]) -> Answer:
        connection = HTTPConnection("127.0.0.1", self.port)
        connection.request(method, path, data, headers)
        answer = connection.getresponse()
        found = Answer(answer.status, answer.read())
        connection.close()
        return found

    def written_bytes(self) -> dict[int, int]:
        """How much each of the processes has written so far."""
        found: dict[int, int] = {}
        waiting = [self.process.pid]
        while waiting:
            pid = waiting.pop()
            waiting += map(int, Path(f"/proc/{pid}/task/{pid}/children").read_text().split())
            told = dict(line.split(": ") for line in Path(f"/proc/{pid}/io").read_text().splitlines())
            found[pid] = int(told["wchar"])
        return found


@pytest.fixture
def served(at: Exchange) -> Iterator[Served]:
    port = free_port()
    env = {**os.environ, "DATA": str(at.settings.data), "PORT": str(port), "HOST": "127.0.0.1", "HTTPS_PORT": "0"}
    baybook = [sys.executable, "-m", "webapp.cli", "serve"]
    with subprocess.Popen(baybook, env=env, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        assert any("Baybook serves" in line for line in process.stdout)
        yield Served(process, port)
        process.terminate()


def test_what_any_process_has_acknowledged_outlives_a_cut_anywhere(
    at: Exchange, served: Served, tmp_path: Path
) -> None:
    jobs = [at.job() for _ in range(PHONES)]
    phones = [at.phone(job, name=name) for job, name in zip(jobs, "ABCD", strict=True)]
    disk = Disk(at)
    disk.note(phones)
    before, client = served.written_bytes(), cast(FlaskClient, served)

    def writers() -> int:
        return sum(now > before.get(pid, 0) + disk.page_size for pid, now in served.written_bytes().items())

    def one_round(phone: Phone, job: str, number: int) -> None:
        phone.dice = Random(number)
        for _ in range(4):
            phone.work(job)
        phone.send(client)
        disk.note(phones)

    with ThreadPoolExecutor(PHONES) as pool:
        for number in count():
            list(pool.map(one_round, phones, jobs, [number] * PHONES))
            if number >= ROUNDS and writers() > 1:
                break
            assert number < MOST_ROUNDS, "one process took every batch"

    last, frame = disk.seen[-1], FRAME_HEADER + disk.page_size
    assert all(one.main == last.main for one in disk.seen), "a checkpoint came in between"
    whole = disk.path.with_name("baybook.db-wal").read_bytes()
    ended = [(len(one.wal), one.places) for one in disk.seen]
    cuts = {end + more for end, _ in ended for more in (0, 7, frame // 2, frame - 1, frame) if end + more <= len(whole)}
    assert len(cuts) > 60
    left = set[int]()
    for cut in sorted({*cuts, len(whole)}):
        found = recovered(tmp_path / "cut", last.main, whole[:cut])
        must_hold(ended, found, cut)
        left.add(len(found))
    assert len(left) > ROUNDS, "a cut took nothing away"
    assert found == {(phone.device, seq) for phone in phones for seq in phone.lines}
    disk.close()
