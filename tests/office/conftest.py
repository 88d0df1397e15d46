"""A head office on a PostgreSQL server of the tests' own, and shops with finished jobs that send to it."""

import json
import shutil
from abc import ABC, abstractmethod
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, date, datetime
from itertools import count
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import text
from sqlalchemy.engine import Engine
from sqlmodel import col, select

from tests import postgres
from tests.browsing import Browser
from tests.databases import Databases
from webapp import create_app
from webapp.config import Settings, settings
from webapp.core import portions
from webapp.core.portions import Portion
from webapp.core.procedure import Library
from webapp.storage import demo, log, outbox
from webapp.storage.arrivals import lines_of
from webapp.storage.engine import engine, session, writing
from webapp.storage.history import load_history
from webapp.storage.keys import encoded, sign
from webapp.storage.log_tables import LogEntry
from webapp.storage.office import door, months, shops
from webapp.storage.outbox_tables import HeadOffice
from webapp.storage.own_keys import RECORDS, private_key
from webapp.storage.tables import Job
from webapp.sync import forward, moment
from webapp.sync.forward import Answer, Sent
from webapp.sync.pull import Pulled, pull
from webapp.sync.signed import under

OWNER, TEMPLATE = "office", "office_template"
NOW = "2026-03-07T08:00:00.000Z"
NUMBERS = count()


def _told(one: Portion) -> tuple[Any, ...]:
    return one.kind, one.name, one.counts.tolist(), round(one.seconds, 6), one.again, one.wrong


@dataclass
class Kept(ABC):
    """A head office that is asked through `exchange`, and its database around it."""

    engine: Engine
    settings: Settings
    socket: Path
    database: str

    @abstractmethod
    def exchange(self, method: str, path: str, headers: Mapping[str, str], body: bytes) -> Answer:
        """One request and its answer."""

    def code(self, name: str = "Bridge Street", region: str = "North", again: str | None = None) -> str:
        with door.of_everything(self.engine) as db:
            return shops.make_code(db, name, region, "DQ3WC8", moment.now(), again)

    @contextmanager
    def put_back_afterwards(self) -> Iterator[None]:
        """Copy the database as it is now; when the block ends, it is put back from that copy."""
        copy = f"{self.database}_copy"
        self.engine.dispose()
        self._copied(self.database, copy)
        yield
        self.engine.dispose()
        with postgres.connected(self.socket) as db:
            db.execute(f"DROP DATABASE {self.database} WITH (FORCE)".encode())
        self._copied(copy, self.database)
        with postgres.connected(self.socket) as db:
            db.execute(f"DROP DATABASE {copy}".encode())

    def _copied(self, source: str, target: str) -> None:
        with postgres.connected(self.socket) as db:
            db.execute(f"CREATE DATABASE {target} OWNER {OWNER} TEMPLATE {source} STRATEGY file_copy".encode())

    def photos(self, shop: "Shop") -> Path:
        """Where the photos of a shop lie here."""
        return self.settings.photos / shop.name()

    def rows(self, question: str, **given: Any) -> list[Any]:
        """What the database holds, asked by somebody who may see everything."""
        with door.of_regions(self.engine, [door.EVERYWHERE]) as db:
            return [tuple(row) for row in db.execute(text(question), given)]

    def count(self, table: str) -> int:
        return int(self.rows(f"SELECT count(*) FROM office.{table}")[0][0])

    def added_up(self, whose: str, named: str = "%") -> list[tuple[Any, ...]]:
        """What is added up of each "shop" or "region" that is named so; seconds to the millionth."""
        rows = self.rows(
            f"SELECT {whose}, month, calibration, revision, placed, jobs, known, passed, times, own, shared, vehicles, "
            "round(whole_s::numeric, 6), round(shared_s::numeric, 6), portions "
            f"FROM office.{whose}_month WHERE {whose} LIKE :named", named=named,
        )  # fmt: skip
        return sorted(
            ((*row, [_told(one) for one in portions.together([kept or b""])]) for *row, kept in rows), key=str
        )

    def months(self, shop: str) -> list[tuple[Any, ...]]:
        """All that is added up of a shop."""
        models = "SELECT month, calibration, vehicle, outcome, jobs FROM office.model_month WHERE shop = :s"
        return [*self.added_up("shop", shop), *sorted(self.rows(models, s=shop))]

    def months_anew(self, shop: str) -> list[tuple[Any, ...]]:
        """The same, added up from all the jobs that are here."""
        with door.of_shop(self.engine, shop) as db:
            days = db.execute(text("SELECT DISTINCT ended_on FROM office.time")).scalars()
            months.anew(db, shop, list(days))
        return self.months(shop)

    def everything(self) -> dict[str, list[Any]]:
        """All that shops have sent, to be compared."""
        asked = {
            "entry": "shop, log, number, text", "job": "shop, id, journal, phase", "sheet": "shop, hash, body",
            "event": "shop, job, device, seq, sha256, line", "time": "*", "photo": "shop, job, sha256, here",
        }  # fmt: skip
        return {name: sorted(self.rows(f"SELECT {what} FROM office.{name}"), key=str) for name, what in asked.items()}


@dataclass
class Office(Kept):
    """The application in this process, without a network between."""

    app: Flask

    def exchange(self, method: str, path: str, headers: Mapping[str, str], body: bytes) -> Answer:
        answer = FlaskClient(self.app).open(path, method=method, headers=dict(headers), data=body)
        return Answer(answer.status_code, {name.lower(): value for name, value in answer.headers.items()}, answer.data)


@dataclass
class Shop:
    """A shop with its journal, and what has become of its outbox."""

    engine: Engine
    settings: Settings
    office: Kept

    def join(self, code: str | None = None) -> str:
        return forward.join(
            self.engine,
            self.settings,
            "http://office.example",
            code or self.office.code(),
            self.office.exchange,
            "",
            NOW,
        )

    def turn(self, exchange: forward.Exchange | None = None) -> Sent | None:
        return forward.turn(self.engine, self.settings, exchange or self.office.exchange, "0.1.0", NOW, 0.5)

    def drain(self) -> int:
        """Send all that waits; return in how many turns."""
        turns = 0
        while (sent := self.turn()) and sent.more:
            turns += 1
            assert turns < 1000
        return turns

    def standing(self) -> HeadOffice:
        with session(self.engine) as db:
            found = outbox.head_office(db)
        assert found is not None
        return found

    def name(self) -> str:
        return self.standing().shop

    def size(self) -> int:
        with session(self.engine) as db:
            return log.size_of(db)

    def arrived(self) -> int:
        """How many entries head office has answered for."""
        return self.standing().size

    def entries(self) -> list[str]:
        with session(self.engine) as db:
            return [one.text for one in db.exec(select(LogEntry).order_by(col(LogEntry.number)))]

    def journals(self) -> dict[str, list[tuple[str, int, str, str]]]:
        """Of each job that ended its lines, with where they stand and their digests."""
        with session(self.engine) as db:
            ended = db.exec(select(Job.id).where(col(Job.phase).in_(("finished", "abandoned")))).all()
            return {
                job: sorted((one.device, one.seq, one.sha256, one.line) for one in lines_of(db, job)) for job in ended
            }

    def send(self, bundle: dict[str, Any], name: str | None = None) -> Answer:
        """Send a bundle as this shop signs it, under this name or another's."""
        return self.post("/office/bundles", bundle, name)

    def post(self, path: str, given: Any, name: str | None = None, method: str = "POST") -> Answer:
        """Send something as this shop signs it, under this name or another's."""
        body = json.dumps(given).encode()
        signature = encoded(sign(private_key(self.settings.data, RECORDS), under(method, path, NOW, body)))
        said = f"Baybook shop={name or self.name()}, at={NOW}, signature={signature}"
        return self.office.exchange(method, path, {"Authorization": said}, body)

    def pull(self, exchange: forward.Exchange | None = None, now: str = NOW) -> Pulled | None:
        """Ask head office for its newest release."""
        return pull(self.engine, self.settings, exchange or self.office.exchange, now)

    def bundle(self) -> dict[str, Any]:
        """What would be sent next, to be spoiled."""
        with writing(self.engine) as db:
            made = outbox.bundle(db, self.standing(), log.head(db, self.settings.data, NOW), "0.1.0")
        return json.loads(json.dumps(made))  # type: ignore[no-any-return]


@pytest.fixture(scope="session")
def office_server() -> Iterator[Path]:
    """A PostgreSQL server with a user to whom its policies apply, and an empty head office to copy."""
    with postgres.serving(postgres.FAST) as socket:
        with postgres.connected(socket) as db:
            db.execute(f"CREATE ROLE {OWNER} LOGIN")
        yield socket


@pytest.fixture(scope="session")
def office_app(office_server: Path, tmp_path_factory: pytest.TempPathFactory) -> Flask:
    """The application, made once. Its database is the one to copy; it is replaced for every test."""
    with postgres.connected(office_server) as db:
        db.execute(f"CREATE DATABASE {TEMPLATE} OWNER {OWNER}".encode())
    made = create_app(office_settings(office_server, TEMPLATE, tmp_path_factory.mktemp("template")))
    made.testing, made.test_client_class = True, Browser
    made.extensions["engine"].dispose()
    return made


def office_settings(socket: Path, database: str, folder: Path) -> Settings:
    return settings({"DATABASE_URL": postgres.url(socket, database, OWNER), "HEAD_OFFICE": "yes"}, data=folder)


@pytest.fixture
def office(office_server: Path, office_app: Flask, tmp_path: Path) -> Iterator[Office]:
    """A head office that no shop has joined yet."""
    name = f"office_{next(NUMBERS)}"
    with postgres.connected(office_server) as db:
        db.execute(f"CREATE DATABASE {name} OWNER {OWNER} TEMPLATE {TEMPLATE} STRATEGY file_copy".encode())
    about = office_settings(office_server, name, tmp_path / "office")
    made = Office(engine(about.database_url), about, office_server, name, office_app)
    office_app.extensions |= {"engine": made.engine, "settings": about}
    yield made
    made.engine.dispose()
    with postgres.connected(office_server) as db:
        db.execute(f"DROP DATABASE {name} WITH (FORCE)".encode())


@pytest.fixture(scope="session")
def history_folder(
    databases: Databases, demo_database: Path, library: Library, tmp_path_factory: pytest.TempPathFactory
) -> Path:
    """A data folder with the demo shop, 12 finished jobs, and their photos."""
    folder = tmp_path_factory.mktemp("history")
    with databases.copied(demo_database, folder) as made:
        load_history(made, library, folder / "photos", jobs=12, until=datetime(2026, 3, 6, 17, tzinfo=UTC))
    return folder


@pytest.fixture
def shop_of(office: Office, databases: Databases, history_folder: Path, tmp_path: Path) -> Iterator[Callable[[], Shop]]:
    """Opens shops that have 12 finished jobs each, the same ones, with keys of their own."""
    opened: list[Shop] = []

    def make() -> Shop:
        opened.append(open_shop(databases, history_folder, tmp_path / f"shop-{len(opened)}", office))
        return opened[-1]

    yield make
    for one in opened:
        close_shop(databases, one)


def open_shop(databases: Databases, history_folder: Path, folder: Path, office: Kept) -> Shop:
    about = databases.settings(folder)
    shutil.copytree(history_folder / "photos", about.photos)
    databases.copy(history_folder, about.data)
    return Shop(engine(about.database_url), about, office)


def close_shop(databases: Databases, shop: Shop) -> None:
    shop.engine.dispose()
    databases.drop(shop.settings.data)


@pytest.fixture
def shop(shop_of: Callable[[], Shop]) -> Shop:
    """One that has joined, and has sent nothing yet."""
    made = shop_of()
    made.join()
    return made


@pytest.fixture
def joined(office: Office, shop_of: Callable[[], Shop]) -> tuple[Shop, Shop]:
    """A shop in the north and one in the south that have joined, and have sent nothing yet."""
    north, south = shop_of(), shop_of()
    north.join(office.code("Bridge Street", "North"))
    south.join(office.code("Quay", "South"))
    return north, south


@pytest.fixture
def two(joined: tuple[Shop, Shop]) -> tuple[Shop, Shop]:
    """The same two, all of whose jobs have arrived."""
    for one in joined:
        one.drain()
    return joined


@pytest.fixture
def desk(office: Office, library: Library) -> Iterator[FlaskClient]:
    """A browser at head office, in which nobody's badge was scanned yet."""
    with writing(office.engine) as db:
        demo.load(db, library.catalogue, date(2026, 3, 7))
    with office.app.test_client() as opened:
        yield opened
