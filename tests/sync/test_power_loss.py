"""Power loss: whatever part of the server's writes had reached the disk, what it had acknowledged is there.

SQLite in WAL mode appends every commit to the -wal file and, with synchronous=FULL, flushes it before the commit
returns; only then is a batch answered. So a crash leaves the -wal cut at some byte behind the last acknowledged commit
(or torn in the middle of a frame), and the main file as it was. A checkpoint then copies pages into the main file while
the -wal stays; a crash leaves any part of those pages written, the last one torn, and the whole -wal. After it the -wal
is written over from its beginning, beside a main file that is complete and flushed; a crash leaves new frames up to
some byte, and behind them old ones.

Two processes and their shared flushes change nothing in this: only one writes at a time (SQLite's own lock, and the
line in front of it), and whoever shares a transaction is answered after its one commit has returned. So the -wal still
is a row of whole commits, each flushed before any of its answers; the line's lock file holds no data, and a lock ends
with its process. What a disk that lies about its flushes does is beyond any database.

Each of these disks is built here from copies of the files that the server really wrote, recovered by SQLite, and asked
for all that was acknowledged by then. The -shm file is never copied: it holds nothing that SQLite does not make again.
"""

import shutil
from dataclasses import dataclass
from pathlib import Path
from random import Random

import pytest
from sqlalchemy import text

from tests.sync.conftest import Exchange
from tests.sync.phone import Phone
from webapp.storage.engine import engine as engine_for
from webapp.storage.engine import session

pytestmark = pytest.mark.sqlite

WAL_HEADER, FRAME_HEADER = 32, 24
ROUNDS = 5
Place = tuple[str, int]


@dataclass(frozen=True)
class Acknowledged:
    """The files at the moment of an answer, and every event that had been acknowledged by then."""

    main: bytes
    wal: bytes
    places: frozenset[Place]


class Disk:
    """What the server had written, answer by answer."""

    def __init__(self, at: Exchange) -> None:
        self.at, self.seen = at, list[Acknowledged]()
        self.keeper = at.engine.connect()  # while it is open, no last connection's closing empties the -wal
        self.keeper.exec_driver_sql("PRAGMA wal_autocheckpoint=0")
        with session(at.engine) as db:
            (self.page_size,) = db.connection().execute(text("PRAGMA page_size")).one()
            assert db.connection().execute(text("PRAGMA synchronous")).scalar() == 2
            assert db.connection().execute(text("PRAGMA journal_mode")).scalar() == "wal"

    @property
    def path(self) -> Path:
        return self.at.settings.data / "baybook.db"

    def note(self, phones: list[Phone]) -> None:
        places = frozenset((phone.device, seq) for phone in phones for seq in range(1, phone.acknowledged + 1))
        wal = self.path.with_name("baybook.db-wal")
        self.seen.append(Acknowledged(self.path.read_bytes(), wal.read_bytes(), places))

    def close(self) -> None:
        self.keeper.close()


def recovered(folder: Path, main: bytes, wal: bytes) -> frozenset[Place]:
    """The events in the journal when a server starts on this disk. All that it then acknowledges must be among them."""
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    (folder / "baybook.db").write_bytes(main)
    (folder / "baybook.db-wal").write_bytes(wal)
    made = engine_for(f"sqlite:///{folder / 'baybook.db'}")
    with session(made) as db:
        connection = db.connection()
        assert connection.execute(text("PRAGMA integrity_check")).scalar() == "ok"
        rows = connection.execute(text("SELECT device, seq FROM arrival JOIN event USING (device, seq)")).all()
        lines = frozenset((str(device), int(seq)) for device, seq in rows)
        promised = connection.execute(text("SELECT id, highest FROM device")).all()
    made.dispose()
    assert all((device, seq) in lines for device, highest in promised for seq in range(1, highest + 1)), "half a batch"
    return lines


def worked(at: Exchange, disk: Disk, phones: list[Phone], job: str) -> None:
    for _ in range(ROUNDS):
        for phone in phones:
            phone.dice = Random(len(disk.seen))
            for _ in range(4):
                phone.work(job)
            phone.send(at.client)
            disk.note(phones)
            phone.pull(at.client, job)


def ends_of(seen: list[Acknowledged], before: bytes = b"") -> list[tuple[int, frozenset[Place]]]:
    """Up to which byte the -wal had been written at each answer, and what was acknowledged by then."""
    return [(_end(one.wal, before), one.places) for one in seen]


def _end(wal: bytes, before: bytes) -> int:
    """The end of the last byte that is another one than before."""
    if len(wal) > len(before):
        return len(wal)
    return next((end for end in range(len(wal), 0, -1) if wal[end - 1] != before[end - 1]), 0)


def must_hold(ends: list[tuple[int, frozenset[Place]]], found: frozenset[Place], cut: int) -> None:
    """All that was acknowledged when no more of the -wal was written."""
    for end, places in ends:
        assert end > cut or places <= found, f"an acknowledged event is lost with the -wal cut at {cut}"


def test_a_wal_cut_anywhere_holds_every_acknowledged_event(at: Exchange, tmp_path: Path) -> None:
    job = at.job()
    phones = [at.phone(job, name=name) for name in "AB"]
    disk = Disk(at)
    disk.note(phones)
    worked(at, disk, phones, job)
    last, frame = disk.seen[-1], FRAME_HEADER + disk.page_size
    assert all(last.wal.startswith(one.wal) and last.main == one.main for one in disk.seen), "not appended only"
    ends = range(len(disk.seen[0].wal), len(last.wal) + 1, frame)
    cuts = sorted(
        {cut for end in ends for cut in (end, end + 7, end + frame // 2, end + frame - 1) if cut <= len(last.wal)}
    )
    assert len(cuts) > 100
    ended = ends_of(disk.seen)
    for cut in cuts:
        found = recovered(tmp_path / "cut", last.main, last.wal[:cut])
        must_hold(ended, found, cut)
    disk.close()


def test_a_torn_page_at_the_end_of_the_wal_is_no_commit(at: Exchange, tmp_path: Path) -> None:
    job = at.job()
    phone = at.phone(job)
    disk = Disk(at)
    disk.note([phone])
    worked(at, disk, [phone], job)
    for before, after in zip(disk.seen, disk.seen[1:], strict=False):
        garbled = before.wal + bytes(Random(1).randbytes(len(after.wal) - len(before.wal)))
        found = recovered(tmp_path / "torn", after.main, garbled)
        assert found == before.places
    disk.close()


def test_a_checkpoint_broken_off_at_any_page_holds_every_acknowledged_event(at: Exchange, tmp_path: Path) -> None:
    job = at.job()
    phones = [at.phone(job, name=name) for name in "AB"]
    disk = Disk(at)
    worked(at, disk, phones, job)
    before = disk.seen[-1]
    disk.keeper.commit()
    busy, _logged, copied = disk.keeper.exec_driver_sql("PRAGMA wal_checkpoint(FULL)").one()
    disk.keeper.commit()
    assert (busy, copied > 10) == (0, True)
    disk.note(phones)
    after = disk.seen[-1]
    assert after.main != before.main
    assert after.wal == before.wal
    size = disk.page_size
    changed = [
        at for at in range(0, len(after.main), size) if after.main[at : at + size] != before.main[at : at + size]
    ]
    main = bytearray(before.main)
    for place in changed:
        for length in (size // 2, size):
            main[place : place + length] = after.main[place : place + length]
            found = recovered(tmp_path / "checkpoint", bytes(main), before.wal)
            assert found == after.places
    started = len(disk.seen)
    worked(at, disk, phones, job)  # the first of these writes begins the -wal anew
    last = disk.seen[-1]
    assert last.wal[:WAL_HEADER] != before.wal[:WAL_HEADER]
    ended = ends_of(disk.seen[started:], before.wal)
    ends = {WAL_HEADER, *(end for end, _ in ended)}
    ends |= set(range(WAL_HEADER, max(ends), FRAME_HEADER + size))
    for cut in sorted({cut for end in ends for cut in (end - 9, end)}):
        found = recovered(tmp_path / "anew", last.main, last.wal[:cut] + before.wal[cut:])
        assert after.places <= found
        must_hold(ended, found, cut)
    assert found == last.places
    disk.close()
