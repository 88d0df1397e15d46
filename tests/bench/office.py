"""How fast one process of head office takes in what shops send, and what memory that takes it.

Bundles of jobs of several shops are read, checked (signatures, paths, chains, digests) and kept, each in a transaction
of its own, on a PostgreSQL that flushes what it has promised. Beside it, that server itself copies the event rows that
this made from a file into a bare table with the same columns (COPY, one transaction), outside of this process.
Both in turn; of the ratios the median is told. The process's memory is that after the first bundle and after the last.
"""

import json
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from random import Random
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter
from typing import Any

from sqlalchemy.engine import Engine

from webapp.config import settings
from webapp.core.bundle import read_bundle
from webapp.serve import fill_demo
from webapp.storage import log, outbox
from webapp.storage.engine import engine, writing
from webapp.storage.keys import as_jwk, decoded, encoded, sign, signed
from webapp.storage.office import arrivals, door, parts, prepare, rows, shops
from webapp.storage.outbox_tables import HeadOffice
from webapp.sync import moment

from .. import postgres
from ..office.simulated import Pattern, Simulated

OWNER = "office"
SHOPS, JOBS, AT_ONCE, ROUNDS = 4, 50, 10, 3
COLUMNS = "shop, job, device, seq, ended_on, sha256, line"


def run() -> dict[str, Any]:
    with TemporaryDirectory() as held, _database() as (server, url):
        pattern, made, memory = _pattern(Path(held)), engine(url), list[float]()
        ratios, rates, bare = [], [], []
        for number in range(ROUNDS):
            bundles, events, seconds = _round(made, pattern, number, memory)
            rates.append(events / seconds)
            bare.append(events / _copied_s(server, f"shop-{number}-%"))
            ratios.append(rates[-1] / bare[-1])
        made.dispose()
    return {
        "shops": SHOPS,
        "jobs": SHOPS * JOBS,
        "events": events,
        "bundles": bundles,
        "events_per_s": round(median(rates)),
        "bare_copy_per_s": round(median(bare)),
        "ratio": round(median(ratios), 3),
        "ratios": sorted(round(one, 3) for one in ratios),
        "memory_first_mb": round(memory[0], 1),
        "memory_last_mb": round(memory[-1], 1),
    }


@contextmanager
def _database() -> Iterator[tuple[Path, str]]:
    with postgres.serving() as server:
        with postgres.connected(server) as db:
            db.execute(f"CREATE ROLE {OWNER} LOGIN")
            db.execute(f"CREATE DATABASE {OWNER} OWNER {OWNER}".encode())
        url = postgres.url(server, OWNER, OWNER)
        prepare(url)
        yield server, url


def _pattern(folder: Path) -> Pattern:
    shop = settings({}, data=folder)
    fill_demo(shop, 12, 1)
    made = engine(shop.database_url)
    nobody = HeadOffice(url="", shop="", name="", key="", joined_at="", size=0, head_size=0)
    with writing(made) as db:
        found = Pattern.of(outbox.bundle(db, nobody, log.head(db, folder, moment.now()), ""))
    made.dispose()
    return found


def _round(made: Engine, pattern: Pattern, number: int, memory: list[float]) -> tuple[int, int, float]:
    """How many bundles and events were taken in, and in how many seconds; `memory` is added to after each bundle."""
    joined = [_joined(made, pattern, f"{number}-{one}") for one in range(SHOPS)]
    bundles, events, seconds = 0, 0, 0.0
    while waiting := [one for one in joined if one.arrived() < JOBS]:
        for shop in waiting:
            text, size = json.dumps(shop.bundle(), ensure_ascii=False), shop.arrived()
            begin = perf_counter()
            taken = _take(made, shop, text)
            seconds += perf_counter() - begin
            if any(one["status"] != "kept" for one in taken.answers):
                raise RuntimeError(f"not all of a bundle was kept: {taken.answers}")
            memory.append(_resident_mb())
            shop.note(taken.size, taken.head.size)
            bundles, events = bundles + 1, events + (taken.size - size) * len(pattern.events)
    return bundles, events, seconds


def _take(made: Engine, shop: Simulated, text: str) -> arrivals.Taken:
    """As `sync/office.py` does for a request that it knows the sender of."""
    bundle = read_bundle(json.loads(text))
    parts.make_parts(made, (rows.day(one.body) for one in bundle.sent if one.body))
    with door.of_shop(made, shop.name()) as db:
        return arrivals.take(db, shop.name(), bundle, _by(shop), partial(_cosigned, shop), moment.now())


def _by(shop: Simulated) -> Callable[[bytes, bytes], bool]:
    return lambda signature, said: signed(shop.key.public_key(), decoded(signature.decode(), "signature", 64), said)


def _cosigned(shop: Simulated, said: bytes) -> str:
    return encoded(sign(shop.key, said))


def _joined(made: Engine, pattern: Pattern, name: str) -> Simulated:
    shop = Simulated(pattern, Random(name), called=f"shop-{name}", at_once=AT_ONCE)
    shop.work(JOBS)
    about = {"name": name, "region": "North", "made_by": "D00000"}
    with door.of_shop(made, shop.name()) as db:
        shops.let_in(db, shop.name(), about, as_jwk(shop.key.public_key()), moment.now())
    return shop


def _copied_s(server: Path, named: str) -> float:
    """Seconds for the event rows of these shops, copied into a bare table."""
    file = server / "rows"
    with postgres.connected(server, OWNER) as db:
        db.execute(f"COPY (SELECT {COLUMNS} FROM office.event WHERE shop LIKE '{named}') TO '{file}'".encode())
        db.execute("DROP TABLE IF EXISTS bare")
        db.execute(f"CREATE TABLE bare AS SELECT {COLUMNS} FROM office.event WITH NO DATA".encode())
        begin = perf_counter()
        db.execute(f"COPY bare FROM '{file}'".encode())
        return perf_counter() - begin


def _resident_mb() -> float:
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6
