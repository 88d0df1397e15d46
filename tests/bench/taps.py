"""How many taps a second the shop's server keeps, beside a bare loop that inserts the same rows on the same disk.

Twenty phones in closed loop, each on a job of its own, send the step's real form and are answered with the next page.
Both sides get short slices in turn, so that whatever else the machine does falls on both; the ratio of each pair of
slices is taken, and of those the median.
"""

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from datetime import date
from http.client import HTTPConnection, HTTPResponse
from pathlib import Path
from statistics import median, quantiles
from tempfile import TemporaryDirectory
from time import perf_counter
from typing import Any
from urllib.parse import urlencode, urlsplit

from webapp.config import Settings, settings
from webapp.core.events import Event, new_id
from webapp.core.freeze import make_sheet
from webapp.library.load import load
from webapp.messages import say
from webapp.serve import fill_demo
from webapp.storage import demo, jobs
from webapp.storage.engine import engine, writing
from webapp.storage.journal import append
from webapp.storage.migrate import upgrade
from webapp.storage.sheets import keep_sheet

from ..browser.shop import serving
from ..cast import NOOR
from .phones import Phone, Tap, closed_loop, connect, tap

PHONES = 20
STEPS = 100  # a job of two calibrations has about as many
JOBS_A_PHONE = 20
ROUNDS = 9
SLICE_S = 2.0
WARM_UP_S = 3.0
DEVICE = "server"  # the pages' own: nothing of these jobs was done on a paired phone


def run() -> dict[str, Any]:
    with opened_shop() as shop, serving(shop.data, shop.procedures) as address:
        said = host_and_port(address)
        signed = sign_in(said)
        phones = [connect(said, taps_of(said, signed, number)) for number in range(PHONES)]
        closed_loop(phones, WARM_UP_S)
        rounds = [_round(shop, phones) for _ in range(ROUNDS)]
        for phone in phones:
            phone.connection.close()
    every = [one for taken in rounds for one in taken["taps_s"]]
    cuts = quantiles(every, n=100)
    return {
        "phones": PHONES,
        "taps": len(every),
        "taps_per_s": round(median(one["taps_per_s"] for one in rounds)),
        "bare_inserts_per_s": round(median(one["bare_per_s"] for one in rounds)),
        "ratio": round(median(one["taps_per_s"] / one["bare_per_s"] for one in rounds), 3),
        "ratios": sorted(round(one["taps_per_s"] / one["bare_per_s"], 3) for one in rounds),
        "p50_ms": round(1000 * cuts[49], 1),
        "p95_ms": round(1000 * cuts[94], 1),
    }


def _round(shop: Settings, phones: list[Phone]) -> dict[str, Any]:
    """One slice of taps, then the very rows that they made, inserted by a bare loop."""
    with closing(_open(shop.data / "baybook.db")) as db:
        before = db.execute("SELECT max(server_seq) FROM event").fetchone()[0]
        taps_s, seconds = closed_loop(phones, SLICE_S)
        rows = db.execute("SELECT * FROM event WHERE server_seq > ? ORDER BY server_seq", (before,)).fetchall()
    if len(rows) != len(taps_s):
        raise RuntimeError(f"{len(taps_s)} taps were answered, and {len(rows)} events kept")
    return {
        "taps_s": taps_s,
        "taps_per_s": len(taps_s) / seconds,
        "bare_per_s": len(rows) / _insert(shop.data / "bare.db", rows),
    }


def _open(path: Path) -> sqlite3.Connection:
    db = sqlite3.connect(path, isolation_level=None)
    db.execute("PRAGMA journal_mode=WAL")
    db.execute("PRAGMA synchronous=FULL")
    return db


def _insert(path: Path, rows: list[tuple[Any, ...]]) -> float:
    """Insert the rows, one transaction each, into the same table with the same indexes; return the seconds."""
    with closing(_open(path)) as db:
        statement = f"INSERT INTO event VALUES ({', '.join('?' * len(rows[0]))})"
        began = perf_counter()
        for row in rows:
            db.execute("BEGIN IMMEDIATE")
            db.execute(statement, row)
            db.execute("COMMIT")
        return perf_counter() - began


@contextmanager
def opened_shop(history: int = 0) -> Iterator[Settings]:
    """A fresh data folder with people, started jobs, an empty twin of the journal for the bare loop, and so many jobs
    that were done before.
    """
    Path("build").mkdir(exist_ok=True)
    with TemporaryDirectory(dir="build", prefix="bench-") as held:  # /tmp may lie in memory; a shop's data does not
        folder = Path(held).resolve()
        _write_procedures(folder / "procedures")
        shop = settings({}, data=folder / "data", procedures=folder / "procedures")
        if history:
            fill_demo(settings({}, data=shop.data), history, 1)
        for url in (f"sqlite:///{shop.data / 'bare.db'}", shop.database_url):
            made = engine(url)
            upgrade(made)
            if url == shop.database_url:
                _start_jobs(made, shop)
            made.dispose()
        yield shop


def _write_procedures(folder: Path) -> None:
    """A day procedure of plain confirm steps, so that every form is known before its page is there."""
    steps = "".join(
        f"  - id: step-{number}\n"
        f"    do: Check point {number} of the round and wipe it clean with a dry cloth.\n"
        f"    why: Point {number} is missed less often when it is looked at in the same order every morning.\n"
        f"    mistakes: [Cloth for point {number} still wet with cleaner., Point {number} taken for another one.]\n"
        f"    kind: confirm\n    button: Point {number} checked\n    expect: 20 s\n"
        for number in range(STEPS)
    )
    (folder / "shared").mkdir(parents=True)
    (folder / "shared/catalogue.yaml").write_text("cautions: {}\ntargets: {}\nspots: {}\n")
    (folder / "shared/round.yaml").write_text(
        f"procedure: round\ntitle: Morning round\nrevision: 1\nsort: day\nsteps:\n{steps}"
    )


def _start_jobs(made: Any, shop: Settings) -> None:
    library = load(shop.procedures)
    at = "2026-03-02T08:00:00.000Z"
    with writing(made) as db:
        if demo.is_empty(db):
            demo.load(db, library.catalogue, date(2026, 3, 2))
        for number in range(PHONES * JOBS_A_PHONE):
            job = jobs.create_job(db, f"job-{number}", "day", at, phase="open", started_at=at)
            about = {"id": job.id, "sort": "day", "repair_order": "", "vin": "", "qualifiers": {}, "reasons": []}
            job.sheet = keep_sheet(db, make_sheet(library, about | {"bay": None}, None, [], {}, say))
            db.add(job)
            db.flush()
            began = Event(
                new_id(number), job.id, DEVICE, number + 1, "started", None, 1, 0, at, 0.0, "boot", NOOR.badge
            )
            append(db, [began])


def host_and_port(address: str) -> tuple[str, int]:
    parts = urlsplit(address)
    return str(parts.hostname), int(parts.port or 0)


def sign_in(address: tuple[str, int]) -> tuple[str, str]:
    """Scan a badge as a phone does; the cookies that say so from then on, and the token that forms carry with them."""
    with closing(HTTPConnection(*address)) as phone:
        phone.request("GET", "/phone/token")
        answer = phone.getresponse()
        token, made = json.loads(answer.read())["token"], _kept(answer)
        form = urlencode({"badge": NOOR.label, "pin": NOOR.pin, "token": token})
        phone.request("POST", "/badge", form, {"Content-Type": "application/x-www-form-urlencoded", "Cookie": made})
        answer = phone.getresponse()
        if answer.status != 303:
            raise RuntimeError(f"the badge was refused: {answer.status}")
        return f"{made}; {_kept(answer)}", token


def _kept(answer: HTTPResponse) -> str:
    """The cookie that this answer has a browser keep."""
    return (answer.getheader("Set-Cookie") or "").partition(";")[0]


def taps_of(address: tuple[str, int], signed: tuple[str, str], phone: int) -> Iterator[Tap]:
    """Every form of one phone's jobs, step by step, and the mark of the page that answers each."""
    cookie, token = signed
    for number in range(phone, PHONES * JOBS_A_PHONE, PHONES):
        for step in range(STEPS):
            form = {"do": "confirm", "step": f"round/step-{step}", "attempt": "1", "turn": "0", "token": token}
            following = f'data-step="round/step-{step + 1}"' if step + 1 < STEPS else "data-finish"
            yield tap(address, f"job-{number}", cookie, form, following)
