"""Head office's overview and its page of one calibration over 5 million jobs of 500 shops in three years.

On a PostgreSQL of its own. Only the rows that the pages read are made: a shop's month and calibration each, with as
many times as add up to that, and 45 steps, of which a few sets are dealt out. The pages are asked as a browser asks,
with filters at random; adding up the regions from all rows is told as well.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from random import Random
from statistics import median, quantiles
from tempfile import TemporaryDirectory
from time import perf_counter
from typing import Any

import numpy as np
from flask import Flask

from webapp import create_app
from webapp.config import settings
from webapp.core import portions
from webapp.core.binned import PART, counted, packed
from webapp.core.portions import OWN, SHARED, Portion
from webapp.library.load import load
from webapp.paths import PROCEDURES
from webapp.storage import demo
from webapp.storage.engine import writing
from webapp.storage.office import door, months

from .. import postgres
from ..browsing import Browser
from ..cast import TOMAS, scan_badge

SHOPS, REGIONS, MONTHS, JOBS = 500, 8, 36, 5_000_000
QUESTIONS = 60
DEALT = 24
OWNER = "office"


def run() -> dict[str, Any]:
    with _office() as app:
        engine = app.extensions["engine"]
        rows = _fill(app)
        begun = perf_counter()
        with door.of_everything(engine) as db:
            combinations = months.add_up(db)
        added_s = perf_counter() - begun
        client = app.test_client()
        scan_badge(client, TOMAS)
        types = sorted(load(PROCEDURES).procedures)
        took = [_asked(client, f"/shops/times?{query}") for query in _questions()]
        one = [_asked(client, f"/shops/times/{types[n % len(types)]}?{query}") for n, query in enumerate(_questions())]
    return {
        "jobs": JOBS,
        "rows": rows,
        "regions_months_types": combinations,
        "added_up_s": round(added_s, 1),
        "page_p50_ms": round(1000 * median(took), 1),
        "page_p95_ms": round(1000 * quantiles(took, n=20)[-1], 1),
        "type_p50_ms": round(1000 * median(one), 1),
        "type_p95_ms": round(1000 * quantiles(one, n=20)[-1], 1),
    }


@contextmanager
def _office() -> Iterator[Flask]:
    with TemporaryDirectory() as folder, postgres.serving() as socket:
        with postgres.connected(socket) as db:
            db.execute(f"CREATE ROLE {OWNER} LOGIN")
            db.execute(f"CREATE DATABASE {OWNER} OWNER {OWNER}")
        address = postgres.url(socket, OWNER, OWNER)
        app = create_app(settings({"DATABASE_URL": address, "HEAD_OFFICE": "yes"}, data=Path(folder) / "data"))
        app.test_client_class = Browser
        yield app
        app.extensions["engine"].dispose()


def _months() -> list[date]:
    return [date(2024 + number // 12, number % 12 + 1, 1) for number in range(MONTHS)]


def _fill(app: Flask) -> int:
    """The shops and their months; return how many rows."""
    library = load(PROCEDURES)
    types = sorted(library.procedures)
    each = round(JOBS / (SHOPS * MONTHS * len(types)))
    dice = np.random.default_rng(20_417)
    shops = [(f"shop-{number:04}", f"Region {number % REGIONS}") for number in range(SHOPS)]
    with writing(app.extensions["engine"]) as held:
        demo.load(held, library.catalogue, date(2026, 12, 1))
    with door.of_everything(app.extensions["engine"]) as db:
        driver: Any = db.connection.driver_connection
        with driver.cursor() as cursor:
            columns = "id, name, region, key, joined_at, joined_by, log, size, head_size, head_root, seen_at"
            at = "2024-01-01T08:00:00.000Z"
            rows = [(name, name, region, "{}", at, "DQ3WC8", 1, 0, 0, "", at) for name, region in shops]
            cursor.executemany(f"INSERT INTO office.shop ({columns}) VALUES ({', '.join(['%s'] * 11)})", rows)
            columns = "shop, month, calibration, jobs, known, passed, times, own, shared, whole_s, shared_s, portions"
            cursor.execute("CREATE TEMPORARY TABLE made (LIKE office.shop_month INCLUDING DEFAULTS)")
            with cursor.copy(f"COPY made ({columns}) FROM STDIN") as copy:
                for number, calibration in enumerate(types):
                    dealt = [_portions(calibration, each, dice) for _ in range(DEALT)]
                    for month in _months():
                        times = dice.lognormal(np.log(1200 + 150 * number), 0.4, (SHOPS, each))
                        for (name, _region), some in zip(shops, times, strict=True):
                            passed = int(dice.binomial(each, 0.9))
                            bins = [packed(counted(one)) for one in (some, some * 0.6, some * 0.4)]
                            whole_s = float(some.sum())
                            sums = (*bins, whole_s, whole_s * 0.4, dealt[passed % DEALT])
                            copy.write_row((name, month, calibration, each, each, passed, *sums))
            cursor.execute("INSERT INTO office.shop_month SELECT * FROM made")
            return int(cursor.rowcount)


def _portions(calibration: str, jobs: int, dice: np.random.Generator) -> bytes:
    """Of so many jobs what they spent on 15 steps of their own, and on 30 of the set-up."""
    names = [(OWN, f"{calibration}/step-{n}") for n in range(15)] + [(SHARED, f"set-up/step-{n}") for n in range(30)]
    times = dice.lognormal(np.log(90), 0.7, (len(names), jobs))
    made = [
        Portion(*name, counted(some, PART), float(some.sum()), 0, 1) for name, some in zip(names, times, strict=True)
    ]
    return portions.packed(made)


def _questions() -> Iterator[str]:
    dice = Random(1)
    for _ in range(QUESTIONS):
        since, until = sorted(dice.sample(range(MONTHS), 2))
        named = [f"since={_months()[since]:%Y-%m}", f"until={_months()[until]:%Y-%m}"]
        named += [f"region=Region%20{dice.randrange(REGIONS)}"] if dice.random() < 0.5 else []
        named += [f"shop=shop-{dice.randrange(SHOPS):04}"] if dice.random() < 0.3 else []
        yield "&".join(dice.sample(named, dice.randrange(len(named) + 1)))


def _asked(client: Any, address: str) -> float:
    begun = perf_counter()
    answer = client.get(address)
    took = perf_counter() - begun
    if answer.status_code != 200:
        raise RuntimeError(f"{address}: {answer.text[:200]}")
    return took
