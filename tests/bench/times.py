"""The times pages at size: a filtered overview and one type's page, in the server, at 10,000 and at 100,000 jobs.

Both on SQLite and on PostgreSQL, which gets a copy of the rows that these pages read. Beside them the same medians by
other ways: exact SQL on SQLite, `percentile_cont` on PostgreSQL, and an analytical engine over the Parquet file.
TIMES_SHOPS names a folder with shops made before (`baybook demo --jobs 10000 --data FOLDER/10000`, ...); without it
they are made anew, which takes a quarter of an hour. A shop's own rows are not changed.
"""

import os
import resource
import sqlite3
import sys
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import closing, contextmanager
from functools import partial
from multiprocessing import get_context
from pathlib import Path
from random import Random
from statistics import median, quantiles
from tempfile import TemporaryDirectory
from time import perf_counter
from typing import Any

import duckdb
from flask.testing import FlaskClient

from webapp import create_app
from webapp.config import Settings, settings
from webapp.serve import fill_demo
from webapp.storage import packed
from webapp.storage.engine import engine, session
from webapp.storage.figures import Asked, Figures, figures
from webapp.storage.migrate import upgrade
from webapp.storage.tables import JobTime, StepTime
from webapp.storage.times import job_rows
from webapp.web.times.export import write_parquet

from .. import postgres

SIZES = (10_000, 100_000)
LOOKS, TYPE = 60, "forward-camera-static"
RANKED = """
    SELECT calibration, own_s + shared_s AS whole, row_number() OVER each AS place,
        count(*) OVER (PARTITION BY calibration) AS n
    FROM job_time WHERE outcome = 'done' AND NOT estimated AND bay = ?
    WINDOW each AS (PARTITION BY calibration ORDER BY own_s + shared_s)
"""
PERCENTILES = """
    SELECT calibration, count(*), percentile_cont(0.5) WITHIN GROUP (ORDER BY own_s + shared_s)
    FROM job_time WHERE outcome = 'done' AND NOT estimated AND bay = 'B1-KQJ4' GROUP BY calibration
"""
EXACT_SQL = f"SELECT calibration, n, avg(whole) FROM ({RANKED}) WHERE place IN ((n + 1) / 2, n / 2 + 1) GROUP BY 1, 2"


def run() -> dict[str, Any]:
    with _shops() as folder:
        found = {}
        for jobs in SIZES:
            # Each in a process of its own, so that one's memory is not the other's.
            with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as alone:
                found[str(jobs)] = alone.submit(_measure, folder / str(jobs)).result()
    small, large = (found[str(jobs)] for jobs in SIZES)
    ratios = {name: round(large[f"{name}_p50_ms"] / small[f"{name}_p50_ms"], 2) for name in ("overview", "type")}
    return {"shops": found, "times_slower_at_ten_times_the_jobs": ratios}


@contextmanager
def _shops() -> Iterator[Path]:
    if given := os.environ.get("TIMES_SHOPS"):
        yield Path(given)
        return
    with TemporaryDirectory() as folder:
        for jobs in SIZES:
            fill_demo(settings({}, data=Path(folder) / str(jobs)), jobs, 1)
        yield Path(folder)


def _measure(data: Path) -> dict[str, Any]:
    found = _pages(settings({}, data=data)) | _disk(data) | _cost(data) | _other_ways(data)
    with postgres.serving() as socket, TemporaryDirectory() as folder:
        with postgres.connected(socket) as connection:
            connection.execute("CREATE DATABASE shop")
        shop = settings({"DATABASE_URL": postgres.url(socket, "shop")}, data=Path(folder))
        _copy(data, socket, shop.database_url)
        found["on_postgresql"] = _pages(shop) | _percentiles(socket)
    return found


def _pages(shop: Settings) -> dict[str, Any]:
    before = _peak_mib()
    app = create_app(shop)
    with app.test_client() as client, session(app.extensions["engine"]) as db:
        first = _ms(lambda: client.get("/times"))
        memory = _peak_mib() - before
        known = figures(db)
        filters = _filters(known)
        looks = [f"/times?{one}" for one in filters]
        pages = [f"/times/{TYPE}?{one}" for one in filters]
        return {
            "jobs": known.jobs,
            "first_look_ms": round(first),
            "memory_mib": round(memory),
            **_seen("overview", client, looks),
            **_seen("type", client, pages),
            "figures_alone_ms": round(median(_ms(lambda: known.types(Asked(bay="B1-KQJ4"))) for _ in range(9)), 1),
        }


def _filters(known: Figures) -> list[str]:
    """Queries as a manager might ask: one to three filters, by dice that fall the same way every time."""
    dice, choices = Random(5), known.choices()
    names = [name for name in ("vehicle", "bay", "placing", "revision") if choices[name]]
    made = []
    for _ in range(LOOKS):
        picked = {name: str(dice.choice(choices[name])) for name in dice.sample(names, dice.randrange(3))}
        if dice.random() < 0.4:
            picked["since"] = f"{dice.choice((2023, 2024, 2025))}-0{dice.randrange(1, 10)}-01"
        made.append("&".join(f"{name}={value}" for name, value in picked.items()))
    return made


def _seen(name: str, client: FlaskClient, addresses: list[str]) -> dict[str, float]:
    def look(address: str) -> None:
        answer = client.get(address)
        if answer.status_code != 200:
            raise RuntimeError(f"{address} was answered with {answer.status_code}")

    look(addresses[0])
    took = [_ms(partial(look, address)) for address in addresses]
    cuts = quantiles(took, n=20)
    return {f"{name}_p50_ms": round(median(took), 1), f"{name}_p95_ms": round(cuts[-1], 1)}


def _cost(data: Path) -> dict[str, float]:
    """What packing adds to the last tap of a job, tried in a transaction that is dropped."""
    made = engine(settings({}, data=data).database_url)
    with session(made) as db:
        rows = [
            row.model_dump() for row in db.query(JobTime).where(JobTime.job == db.query(JobTime.job).limit(1).scalar())
        ]
        steps = [row.model_dump() for row in db.query(StepTime).where(StepTime.job == rows[0]["job"])]
        changed = [row | {"own_s": row["own_s"] + 1} for row in rows]
        took = [_ms(partial(packed.keep, db, some, steps)) for some in [changed, rows] * 15]
        db.rollback()
    made.dispose()
    return {"packing_one_job_ms": round(median(took), 2)}


def _disk(data: Path) -> dict[str, float]:
    with closing(sqlite3.connect(data / "baybook.db")) as db:
        steps = db.execute("SELECT count(*) FROM step_time").fetchone()[0]
        size = db.execute("SELECT sum(length(head) + length(types) + length(steps) + length(causes)) FROM packed_time")
        return {
            "step_times": steps,
            "packed_mib": round(size.fetchone()[0] / 2**20, 1),
            "database_mib": round((data / "baybook.db").stat().st_size / 2**20),
        }


READ = ("person", "item", "job", "job_time", "time_word", "packed_time")
"""The tables that these pages read."""


def _copy(data: Path, socket: Path, url: str) -> None:
    made = engine(url)
    upgrade(made)
    made.dispose()
    with closing(sqlite3.connect(data / "baybook.db")) as db, postgres.connected(socket, "shop") as target:
        target.execute("SET session_replication_role = replica")  # a job's sheet stays behind
        for table in READ:
            rows = db.execute(f"SELECT * FROM {table}")
            columns = ", ".join(f'"{name}"' for name, *_ in rows.description)
            with target.cursor().copy(f"COPY {table} ({columns}) FROM STDIN") as copy:
                for row in rows:
                    copy.write_row(row)
        target.execute("ANALYZE")


def _percentiles(socket: Path) -> dict[str, float]:
    with postgres.connected(socket, "shop") as db:
        return {
            "percentile_cont_ms": round(median(_ms(lambda: db.execute(PERCENTILES).fetchall()) for _ in range(5)), 1)
        }


def _other_ways(data: Path) -> dict[str, float]:
    """The medians of one bay's jobs by exact SQL on SQLite, and by an analytical engine over the exported file."""
    with closing(sqlite3.connect(data / "baybook.db")) as db:
        sql = median(_ms(lambda: db.execute(EXACT_SQL, ("B1-KQJ4",)).fetchall()) for _ in range(3))
        exact = {name: value for name, _, value in db.execute(EXACT_SQL, ("B1-KQJ4",))}
    with TemporaryDirectory() as folder:
        path = Path(folder) / "jobs.parquet"
        made = engine(settings({}, data=data).database_url)
        with session(made) as held, path.open("wb") as file:
            write_parquet("jobs", job_rows(held, Asked(), None), file)
        with session(made) as held:
            ours = figures(held).types(Asked(bay="B1-KQJ4"))
        made.dispose()
        asked = (
            "SELECT calibration, median(own_s + shared_s) FROM read_parquet(?) "
            "WHERE outcome = 'done' AND NOT estimated AND bay = 'B1-KQJ4' GROUP BY 1"
        )
        with duckdb.connect() as analytical:
            took = median(_ms(lambda: analytical.execute(asked, [str(path)]).fetchall()) for _ in range(5))
        size = path.stat().st_size
    for name, value in exact.items():
        one = ours[name]
        if abs(median(one.whole_s[one.counted].tolist()) / value - 1) > 0.01:
            raise RuntimeError(f"the median of {name} is off: {value} by SQL")
    return {
        "exact_sql_sqlite_ms": round(sql, 1),
        "duckdb_parquet_ms": round(took, 1),
        "parquet_mib": round(size / 2**20, 1),
    }


def _ms(do: Callable[[], object]) -> float:
    begin = perf_counter()
    do()
    return 1000 * (perf_counter() - begin)


def _peak_mib() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / (2**10 if sys.platform == "linux" else 2**20)
