"""How fast head office takes in what shops send, in as many processes as it has, and what memory that takes them.

Bundles of jobs of several shops, made beforehand, are read, checked (signatures, paths, chains, digests) and kept, each
in a transaction of its own, on a PostgreSQL that flushes what it has promised. A shop's bundles come one after the
other, the shops beside each other. Beside it, that server itself copies the rows that this made (events, entries, jobs,
sheets, times) from files into bare tables with the same columns (COPY, one transaction a table), outside of these
processes; and the events' rows alone, which is told as well. Both in turn; of the ratios the median is told. A first
round, in which the months' parts are made, does not count. The memory is a process's after the first bundle of a shop
and after its last.
"""

import json
import os
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from multiprocessing import get_context
from multiprocessing.synchronize import Barrier
from pathlib import Path
from random import Random
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter
from typing import Any

from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey
from sqlalchemy.engine import Engine

from webapp.config import settings
from webapp.core.bundle import read_bundle
from webapp.serve import PROCESSES, fill_demo, spare_the_collector
from webapp.storage import log, outbox
from webapp.storage.engine import engine, writing
from webapp.storage.keys import as_jwk, decoded, encoded, sign, signed
from webapp.storage.office import arrivals, door, parts, prepare, rows, shops
from webapp.storage.outbox_tables import HeadOffice
from webapp.sync import moment
from webapp.sync.batch import read_json

from .. import postgres
from ..office.simulated import Pattern, Simulated

OWNER = "office"
SHOPS, JOBS, AT_ONCE, ROUNDS = 4 * PROCESSES, 50, 10, 3
EVENTS = {"event": "shop, job, device, seq, ended_on, sha256, line"}
ROWS = EVENTS | {
    "entry": "shop, log, number, job, ended_on, text",
    "job": "shop, id, ended_on, phase, sheet, journal, events, amendments, erased, spent",
    "sheet": "shop, hash, ended_on, body",
    "time": "shop, job, calibration, ended_on, own_s, shared_s, waited_s, outcome, first_time_pass, estimated, "
    "vehicle, bay, placed, revision",
}


@dataclass(frozen=True)
class Waiting:
    """What a shop has to send: the bodies of its requests."""

    shop: str
    key: EllipticCurvePrivateKey
    bodies: list[bytes]


def run() -> dict[str, Any]:
    memory, rates, bare, bare_events = list[tuple[float, float]](), list[float](), list[float](), list[float]()
    with TemporaryDirectory() as held, _database() as (server, url):
        pattern = _pattern(Path(held))
        events = SHOPS * JOBS * len(pattern.events)
        for number in range(1 + ROUNDS):
            named = f"shop-{number}-"
            rates.append(events / _taken_s(url, [_waiting(url, pattern, f"{named}{n}") for n in range(SHOPS)], memory))
            _need_all(server, f"{named}%", events)
            bare.append(events / _copied_s(server, f"{named}%", ROWS))
            bare_events.append(events / _copied_s(server, f"{named}%", EVENTS))
    return {
        "processes": PROCESSES,
        "shops": SHOPS,
        "jobs": SHOPS * JOBS,
        "events": events,
        "bundles": SHOPS * JOBS // AT_ONCE,
        "events_per_s": round(median(rates[1:])),
        "bare_copy_events_per_s": round(median(bare[1:])),
        **_ratio("ratio", rates, bare),
        **_ratio("ratio_to_events_rows_alone", rates, bare_events),
        "memory_first_mb": round(max(first for first, _last in memory), 1),
        "memory_last_mb": round(max(last for _first, last in memory), 1),
    }


def _ratio(name: str, rates: list[float], bare: list[float]) -> dict[str, Any]:
    each = sorted(ours / theirs for ours, theirs in zip(rates[1:], bare[1:], strict=True))
    return {name: round(median(each), 3), f"{name}_each": [round(one, 3) for one in each]}


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


def _waiting(url: str, pattern: Pattern, name: str) -> Waiting:
    """A shop that has joined, with all that it has to send."""
    shop = Simulated(pattern, Random(name), called=name, at_once=AT_ONCE)
    shop.work(JOBS)
    about = {"name": name, "region": "North", "made_by": "D00000"}
    made, bodies = engine(url), []
    with door.of_shop(made, shop.name()) as db:
        shops.let_in(db, shop.name(), about, as_jwk(shop.key.public_key()), moment.now())
    made.dispose()
    while shop.arrived() < JOBS:
        bundle = shop.bundle()
        bodies.append(json.dumps(bundle, ensure_ascii=False).encode())
        shop.note(shop.arrived() + len(bundle["entries"]), JOBS)
    return Waiting(shop.name(), shop.key, bodies)


def _taken_s(url: str, waiting: list[Waiting], memory: list[tuple[float, float]]) -> float:
    """Seconds in which all of it was taken in by processes that are there already; what each grew to is added."""
    here = get_context("fork")  # so that they have what waits without being sent it
    ready = here.Barrier(PROCESSES + 1)
    with ProcessPoolExecutor(PROCESSES, here, Worker.begin, (url, waiting, ready)) as workers:
        answers = workers.map(Worker.take_all, range(len(waiting)))
        ready.wait(timeout=60)
        begin = perf_counter()
        memory += answers
        return perf_counter() - begin


class Worker:
    """A process of head office's, as `serve` makes them."""

    engine: Engine
    waiting: list[Waiting]

    @classmethod
    def begin(cls, url: str, waiting: list[Waiting], ready: Barrier) -> None:
        cls.engine, cls.waiting = engine(url), waiting
        spare_the_collector()
        cls.engine.connect().close()
        ready.wait(timeout=60)

    @classmethod
    def take_all(cls, number: int) -> tuple[float, float]:
        """Take in what a shop sends; return the memory after the first bundle and after the last, in MB."""
        shop, grown = cls.waiting[number], list[float]()
        for body in shop.bodies:
            _take(cls.engine, shop, body)
            grown.append(_resident_mb())
        return grown[0], grown[-1]


def _take(made: Engine, shop: Waiting, body: bytes) -> None:
    """As `sync/office.py` does for a request that it knows the sender of."""
    bundle = read_bundle(read_json(body, "body"))
    parts.make_parts(made, (rows.day(one.body) for one in bundle.sent if one.body))
    with door.of_shop(made, shop.shop) as db:
        taken = arrivals.take(db, shop.shop, bundle, _by(shop), partial(_cosigned, shop), moment.now())
    if any(one["status"] != "kept" for one in taken.answers):
        raise RuntimeError(f"not all of a bundle was kept: {taken.answers}")


def _by(shop: Waiting) -> Callable[[bytes, bytes], bool]:
    return lambda signature, said: signed(shop.key.public_key(), decoded(signature.decode(), "signature", 64), said)


def _cosigned(shop: Waiting, said: bytes) -> str:
    return encoded(sign(shop.key, said))


def _need_all(server: Path, named: str, events: int) -> None:
    with postgres.connected(server, OWNER) as db:
        there = db.execute(f"SELECT count(*) FROM office.event WHERE shop LIKE '{named}'".encode()).fetchone()
    if there != (events,):
        raise RuntimeError(f"{there} events arrived of {events}")


def _copied_s(server: Path, named: str, tables: Mapping[str, str]) -> float:
    """Seconds for the rows of these shops, copied into bare tables."""
    seconds = 0.0
    with postgres.connected(server, OWNER) as db:
        for table, columns in tables.items():
            file = server / table
            made = f"SELECT {columns} FROM office.{table} WHERE shop LIKE '{named}'"
            db.execute(f"COPY ({made}) TO '{file}'".encode())
            db.execute("DROP TABLE IF EXISTS bare")
            db.execute(f"CREATE TABLE bare (LIKE office.{table} INCLUDING COMPRESSION)".encode())
            begin = perf_counter()
            db.execute(f"COPY bare ({columns}) FROM '{file}'".encode())
            seconds += perf_counter() - begin
    return seconds


def _resident_mb() -> float:
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6
