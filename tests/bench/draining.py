"""What a month without internet does to the shop's phones when the line is back.

Twenty phones tap as hands do, once in two seconds each, while nothing is sent; then the shop joins a head office, and
they go on tapping while its sender brings all its finished jobs there, by https, as fast as it can. Head office and its
PostgreSQL run on the same machine, with the lowest priority: a shop has none beside it.
"""

import os
from collections.abc import Callable
from functools import partial
from pathlib import Path
from random import Random
from statistics import quantiles
from tempfile import TemporaryDirectory
from time import perf_counter
from typing import Any

from webapp.config import Settings
from webapp.storage import log, outbox
from webapp.storage.engine import session
from webapp.storage.migrate import opened

from .. import postgres
from ..browser.shop import serving
from ..office.test_served import OWNER, baybook
from ..serving import served
from .phones import Phone, connect, paced
from .taps import PHONES, host_and_port, opened_shop, sign_in, taps_of

JOBS = 200
THINK_S = 2.0
SLICE_S = 30.0
LOWEST = 19
LIMIT_S = 600.0


def run() -> dict[str, Any]:
    with TemporaryDirectory() as held, postgres.serving() as server, opened_shop(JOBS) as shop:
        at_office = {"DATABASE_URL": _database(server), "HEAD_OFFICE": "yes", "DATA": held}
        with served(Path(held), **at_office) as head_office, serving(shop.data, shop.procedures) as address:
            _last(head_office.process.pid)
            _last(int((server / "data" / "postmaster.pid").read_text().split()[0]))
            said = host_and_port(address)
            signed = sign_in(said)
            phones = [connect(said, taps_of(said, signed, number)) for number in range(PHONES)]
            at_rest = _tapped(phones, partial(_over, perf_counter() + SLICE_S))
            code = baybook("shop-code", "Bridge Street", "North", **at_office)
            to = f"https://127.0.0.1:{head_office.https_port}"
            baybook("join", to, code, "--authority", str(head_office.root), DATA=str(shop.data), DATABASE_URL="")
            began = perf_counter()
            draining = _tapped(phones, _Drained(shop))
            drained_s = perf_counter() - began
            again = _tapped(phones, partial(_over, perf_counter() + SLICE_S))
    return {
        "phones": PHONES,
        "jobs": JOBS,
        "drained_s": round(drained_s, 1),
        "at_rest": at_rest,
        "draining": draining,
        "at_rest_again": again,
        "p95_ratio": round(draining["p95_ms"] / ((at_rest["p95_ms"] + again["p95_ms"]) / 2), 2),
    }


def _database(server: Path) -> str:
    with postgres.connected(server) as db:
        db.execute(f"CREATE ROLE {OWNER} LOGIN")
        db.execute(f"CREATE DATABASE {OWNER} OWNER {OWNER}".encode())
    return postgres.url(server, OWNER, OWNER)


def _last(pid: int) -> None:
    """Give way to everybody else: this process, all beneath it, and whatever they begin."""
    for task in Path(f"/proc/{pid}/task").iterdir():
        os.setpriority(os.PRIO_PROCESS, int(task.name), LOWEST)
        for child in (task / "children").read_text().split():
            _last(int(child))


def _tapped(phones: list[Phone], enough: Callable[[], bool]) -> dict[str, Any]:
    waits = Random(1)
    taken = paced(phones, lambda: waits.expovariate(1 / THINK_S), enough)
    cuts = quantiles(taken, n=100)
    return {"taps": len(taken), "p50_ms": round(1000 * cuts[49], 1), "p95_ms": round(1000 * cuts[94], 1)}


def _over(ends: float) -> bool:
    return perf_counter() >= ends


class _Drained:
    """Whether head office has answered for the whole log; looked up once in half a second."""

    def __init__(self, shop: Settings) -> None:
        self.shop, self.looked, self.limit = shop, perf_counter(), perf_counter() + LIMIT_S

    def __call__(self) -> bool:
        if perf_counter() - self.looked < 0.5:
            return False
        self.looked = perf_counter()
        if self.looked > self.limit:
            raise RuntimeError(f"not drained within {LIMIT_S} s")
        with opened(self.shop.database_url) as made, session(made) as db:
            office = outbox.head_office(db)
            return office is not None and office.size == log.size_of(db) and not office.photos
