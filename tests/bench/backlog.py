"""How fast the server takes a backlog: fifty phones come home at once with 400 events each, done on real sheets.

The requests are signed beforehand; the server, in a process of its own, checks every signature and makes every decision
again. Beside it, the very rows that this made are inserted by a bare prepared loop in one transaction on the same disk.
Both in turn, so that whatever else the machine does falls on both; of the ratios the median is told.
"""

import json
import sqlite3
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, contextmanager
from dataclasses import asdict
from datetime import UTC, date, datetime, timedelta
from http.client import HTTPConnection
from itertools import count
from pathlib import Path
from random import Random
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter, sleep
from typing import Any
from urllib.parse import urlsplit

from webapp.config import Settings, settings
from webapp.core.events import new_id
from webapp.core.freeze import make_sheet
from webapp.core.kinds.common import Person
from webapp.core.plan import propose
from webapp.core.procedure import REASONS
from webapp.core.sheet import Sheet, content_hash
from webapp.library.load import load
from webapp.messages import say
from webapp.storage import demo, devices, kit
from webapp.storage.engine import engine, session, writing
from webapp.storage.keys import as_jwk
from webapp.storage.migrate import upgrade
from webapp.storage.rehearsal import Cast, Technician, mishaps_of
from webapp.sync import moment

from ..browser.shop import serving
from ..cast import ADA, NOOR
from ..sync.phone import Phone, Request, written

PHONES, EVENTS, AT_ONCE, ROUNDS = 50, 400, 400, 3
AGAIN_S = 0.05


def run() -> dict[str, Any]:
    rounds = [_round() for _ in range(ROUNDS)]
    return {
        "phones": PHONES,
        "events": PHONES * EVENTS,
        "events_per_s": round(median(one["taken"] for one in rounds)),
        "bare_inserts_per_s": round(median(one["bare"] for one in rounds)),
        "ratio": round(median(one["taken"] / one["bare"] for one in rounds), 3),
        "ratios": sorted(round(one["taken"] / one["bare"], 3) for one in rounds),
        "differences_other_than_pins": sum(one["differences"] for one in rounds),
    }


def _round() -> dict[str, Any]:
    with open_shop() as shop:
        taken_s, differences = take(shop, Work(shop))
        events = PHONES * EVENTS
        return {"taken": events / taken_s, "bare": events / _insert(shop.data), "differences": differences}


def take(shop: Settings, work: "Work") -> tuple[float, int]:
    """Seconds in which the server took all of it; and how often it decided otherwise, other than of a PIN."""
    with serving(shop.data, shop.procedures) as address:
        said = str(urlsplit(address).hostname), int(urlsplit(address).port or 0)
        with ThreadPoolExecutor(PHONES) as phones:
            plans = [(said, [plan]) for plan in work.plans]
            list(phones.map(lambda one: _send(*one), plans))
            begin = perf_counter()
            answers = list(phones.map(lambda batches: _send(said, batches), work.batches))
            seconds = perf_counter() - begin
    kept = [answer for each in answers for one in each for answer in one["answers"]]
    if len(kept) != PHONES * EVENTS or {one["status"] for one in kept} != {"kept"}:
        raise RuntimeError(f"of {PHONES * EVENTS} events {len(kept)} were answered, not all of them as kept")
    told = [found for one in kept for found in one.get("differences", []) if found["what"] != "pin"]
    return seconds, len(told)


class Work:
    """What fifty phones did alone, as the requests that bring it home."""

    def __init__(self, shop: Settings) -> None:
        self.engine, self.library = engine(shop.database_url), load(shop.procedures)
        self.sheets: dict[str, Sheet] = {}
        self.plans: list[Request] = []
        self.batches: list[list[Request]] = []
        for number in range(PHONES):
            phone = self._paired(number)
            facts = self._worked(phone, Random(number))
            self.plans.append(phone.request("POST", "/sync/batches", {"events": [], "jobs": facts}))
            parts = range(1, EVENTS + 1, AT_ONCE)
            self.batches.append([phone.batch(list(range(begin, begin + AT_ONCE))) for begin in parts])
        self.engine.dispose()

    def _paired(self, number: int) -> Phone:
        phone = Phone(name=f"Phone {number}")
        with writing(self.engine) as db:
            code = devices.make_code(db, ADA.badge, moment.now())
            phone.device = devices.pair(db, code, as_jwk(phone.key.public_key()), phone.name, moment.now()).id
        return phone

    def _worked(self, phone: Phone, dice: Random) -> list[str]:
        """Fill the phone's journal; return the facts of the jobs that it worked."""
        with session(self.engine) as db:
            cast = Cast(_core(NOOR), _core(ADA), kit.kit(db), lambda words: f"{len(words):064x}")
        facts: list[str] = []
        for number in count():
            sheet = self._sheet(dice.choice(list(self.library.vehicles)))
            begin = datetime.now(UTC) - timedelta(hours=1)
            hands = Technician(sheet, cast, mishaps_of(sheet, number, dice), begin, 0.001, dice)
            hands.work()
            events = hands.events(phone.device, len(phone.lines) + 1)
            facts.append(_facts(sheet, events[0].at))
            for event in events[: EVENTS - len(phone.lines)]:
                phone.lines[event.seq] = written(asdict(event))
            if len(phone.lines) == EVENTS:
                return facts
        raise AssertionError("count() never ends")

    def _sheet(self, vehicle: str) -> Sheet:
        model = self.library.vehicles[vehicle]
        job: dict[str, Any] = {"id": new_id(1), "sort": "calibration", "repair_order": "RO", "vin": "", "bay": None}
        job |= {"odometer_km": 1, "reasons": list(REASONS), "lamps": "", "codes": ""}
        job["qualifiers"] = {one.name: one.options[0].value for one in model.qualifiers}
        if vehicle not in self.sheets:
            self.sheets[vehicle] = make_sheet(self.library, job, model, propose(self.library, model, REASONS), {}, say)
        return self.sheets[vehicle] | {"job": job}


def _facts(sheet: Sheet, at: str) -> str:
    about = {"job": sheet["job"], "vehicle": sheet["vehicle"]["id"], "added": {}, "struck": {}, "at": at}
    return json.dumps(about | {"sheet": content_hash(sheet)})


def _core(person: Any) -> Person:
    return Person(person.badge, person.role, person.name)


def _send(said: tuple[str, int], requests: list[Request]) -> list[dict[str, Any]]:
    with closing(HTTPConnection(*said)) as connection:
        return [_answered(connection, one) for one in requests]


def _answered(connection: HTTPConnection, one: Request) -> dict[str, Any]:
    """Sent until it is taken, as a phone does when too many come at once, only with shorter rests."""
    while True:
        connection.request(one.method, one.path, one.body, one.headers)
        answer = connection.getresponse()
        text = answer.read()
        if answer.status == 200:
            said: dict[str, Any] = json.loads(text)
            return said
        if answer.status != 503:
            raise RuntimeError(f"a batch was refused: {answer.status} {text[:200]!r}")
        sleep(AGAIN_S)


@contextmanager
def open_shop() -> Iterator[Settings]:
    folder = Path("build")
    folder.mkdir(exist_ok=True)
    with TemporaryDirectory(dir=folder, prefix="bench-") as data:
        shop = settings({}, data=Path(data))
        made = engine(shop.database_url)
        upgrade(made)
        with writing(made) as db:
            demo.load(db, load(shop.procedures).catalogue, date.today())  # noqa: DTZ011 - the shop's own day
        made.dispose()
        yield shop


def _insert(data: Path) -> float:
    """Seconds for the same rows in a database with the same tables, one prepared statement a table."""
    tables = ("event", "arrival")
    with closing(sqlite3.connect(data / "baybook.db")) as db, closing(_open(data / "bare.db")) as bare:
        rows = {}
        for table in tables:
            for (made,) in db.execute("SELECT sql FROM sqlite_master WHERE tbl_name = ? AND sql IS NOT NULL", (table,)):
                bare.execute(made)
            rows[table] = db.execute(f"SELECT * FROM {table}").fetchall()
        begin = perf_counter()
        bare.execute("BEGIN IMMEDIATE")
        for table in tables:
            holes = ", ".join("?" * len(rows[table][0]))
            add = f"INSERT INTO {table} VALUES ({holes})"
            for row in rows[table]:
                bare.execute(add, row)
        bare.execute("COMMIT")
        return perf_counter() - begin


def _open(path: Path) -> sqlite3.Connection:
    db = sqlite3.connect(path, isolation_level=None)
    db.execute("PRAGMA journal_mode=WAL")
    db.execute("PRAGMA synchronous=FULL")
    return db
