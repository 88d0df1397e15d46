"""Head office's pages of figures, read from a standby: while it follows, while it lies behind, and with either gone."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import psycopg
import pytest
from flask.testing import FlaskClient
from sqlalchemy import text
from sqlalchemy.engine import Engine

from tests import postgres
from tests.browsing import Browser
from tests.cast import TOMAS, scan_badge
from tests.databases import Databases
from tests.serving import until
from tests.web.markup import Page
from webapp import create_app
from webapp.config import settings
from webapp.core.errors import Unavailable
from webapp.core.procedure import Library
from webapp.storage import demo
from webapp.storage.engine import beside, engine, session, writing
from webapp.storage.office import door
from webapp.storage.standby import standing

from .conftest import OWNER, Office, Shop, close_shop, open_shop

PAGES = (
    "/shops/times",
    "/shops/times/forward-camera-static",
    "/shops/times/forward-camera-static/models",
    "/shops/kit",
)
CURRENT, ALONE = "Read from the standby, which is up to date.", "which does not hear of the primary."
PRIMARY, NOT_ADDED = "this page is read from the primary.", "The primary is away"


@dataclass
class Pair:
    """A head office with two servers, in which one shop's jobs have arrived, and a manager's browser there."""

    primary: Path
    standby: Path
    office: Office
    shop: Shop
    desk: FlaskClient

    def says(self, page: str) -> str:
        answer = self.desk.get(page)
        assert answer.status_code == 200, answer.text[:500]
        return Page(answer.text).text

    def level(self) -> bool:
        found = standing(self.office.app.extensions["standby"])
        return found.is_current


@pytest.fixture
def pair(databases: Databases, history_folder: Path, library: Library, tmp_path: Path) -> Iterator[Pair]:
    with postgres.serving() as primary:
        with postgres.connected(primary) as db:
            db.execute(f"CREATE ROLE {OWNER} LOGIN")
            db.execute(f"CREATE DATABASE {OWNER} OWNER {OWNER}")
        with postgres.standing_by(primary) as standby:
            urls = {
                "DATABASE_URL": postgres.url(primary, OWNER, OWNER),
                "READ_DATABASE_URL": postgres.url(standby, OWNER, OWNER),
            }
            about = settings(urls | {"HEAD_OFFICE": "yes"}, data=tmp_path / "office")
            app = create_app(about)
            app.testing, app.test_client_class = True, Browser
            office = Office(app.extensions["engine"], about, primary, OWNER, app)
            with writing(office.engine) as db:
                demo.load(db, library.catalogue, date(2026, 3, 7))
            shop = open_shop(databases, history_folder, tmp_path / "shop", office)
            shop.join()
            shop.drain()
            with app.test_client() as desk:
                scan_badge(desk, TOMAS)
                made = Pair(primary, standby, office, shop, desk)
                desk.get("/shops/times")
                until(made.level)
                yield made
            close_shop(databases, shop)
            for one in ("engine", "standby"):
                app.extensions[one].dispose()


@contextmanager
def held_back(standby: Path) -> Iterator[None]:
    """What the standby hears of it does not take up."""
    with postgres.connected(standby) as db:
        db.execute("SELECT pg_wal_replay_pause()")
        yield
        db.execute("SELECT pg_wal_replay_resume()")


def rename(pair: Pair, name: str) -> None:
    with door.of_everything(pair.office.engine) as db:
        db.execute(text("UPDATE office.shop SET name = :name"), {"name": name})


def test_pages_are_read_from_the_standby_and_say_so(pair: Pair) -> None:
    for page in PAGES:
        assert CURRENT in pair.says(page)
    with held_back(pair.standby):
        rename(pair, "Mill Lane")
        behind = pair.says("/shops/kit")
        assert "Bridge Street" in behind
        assert "this page is read from the standby, which lies behind." in behind
        assert "◐ As of 20" in behind
        assert "Mill Lane" in pair.says("/shops")  # what is done there is read where it is written
    until(pair.level)
    assert "Mill Lane" in pair.says("/shops/kit")


def test_pages_answer_while_the_primary_is_gone_and_nothing_is_written(pair: Pair) -> None:
    before = pair.desk.get("/shops/times.csv").text
    postgres.kill(pair.primary)
    until(lambda: not standing(pair.office.app.extensions["standby"]).hears)
    for page in PAGES:
        told = pair.says(page)
        assert ALONE in told
        assert (NOT_ADDED in told) == (page in PAGES[:2])
    assert pair.desk.get("/shops/times.csv").text == before
    assert pair.desk.post("/shops/codes", data={"name": "Mill Lane", "region": "East"}).status_code == 503
    assert pair.desk.get("/shops").status_code == 503
    postgres.promote(pair.standby)
    with session(pair.office.app.extensions["standby"]) as db:
        assert db.connection().execute(text("SELECT count(*) FROM office.code WHERE used_at IS NULL")).scalar() == 0


def test_pages_answer_while_the_standby_is_gone(pair: Pair) -> None:
    with postgres.connected(pair.primary) as db:  # else the primary waits for it with all that it writes
        db.execute("ALTER SYSTEM SET synchronous_standby_names = ''")
        db.execute("SELECT pg_reload_conf()")
    postgres.kill(pair.standby)
    rename(pair, "Mill Lane")
    for page in PAGES:
        assert PRIMARY in pair.says(page)
    assert "Mill Lane" in pair.says("/shops/kit")
    assert pair.desk.post("/shops/codes", data={"name": "Quay", "region": "East"}).status_code == 200


def test_the_standby_shows_no_more_than_the_primary(pair: Pair) -> None:
    with postgres.connected(pair.standby, OWNER, OWNER) as db:
        for table in ("shop", "entry", "event", "time", "shop_month", "region_month", "kit_item"):
            assert db.execute(f"SELECT count(*) FROM office.{table}".encode()).fetchone() == (0,)
        with pytest.raises(psycopg.errors.ReadOnlySqlTransaction):
            db.execute("DELETE FROM office.shop")
    standby = pair.office.app.extensions["standby"]
    with door.of_regions(standby, ["South"]) as held:
        assert held.execute(text("SELECT count(*) FROM office.shop")).scalar() == 0
    with door.of_regions(standby, ["North"]) as held:
        assert held.execute(text("SELECT name FROM office.shop")).scalars().all() == ["Bridge Street"]


def test_a_held_connection_goes_over_to_the_server_that_took_over(pair: Pair) -> None:
    """Idle connections of before are asked before they are used, and none of them is used again."""
    hosts = f"host={pair.primary}&host={pair.standby}&target_session_attrs=read-write"
    both = engine(f"postgresql+psycopg://{OWNER}@/{OWNER}?{hosts}", connections=4)
    with beside(both) as one, beside(both) as other:
        assert {one.execute(text("SELECT 1")).scalar(), other.execute(text("SELECT 1")).scalar()} == {1}
    postgres.kill(pair.primary)
    postgres.promote(pair.standby)
    with postgres.connected(pair.standby) as db:
        db.execute("ALTER SYSTEM SET synchronous_standby_names = ''")
        db.execute("SELECT pg_reload_conf()")
    with beside(both) as one, beside(both) as other:
        assert [db_.execute(text("SELECT pg_is_in_recovery()")).scalar() for db_ in (one, other)] == [False, False]
        one.execute(text("UPDATE office.added_up SET written = written"))
    both.dispose()


def test_connections_to_a_server_that_may_only_be_read_are_given_up(pair: Pair) -> None:
    """It still answers, so nothing else would tell that it is no longer the one to write to."""
    made = pair.office.engine
    before = _pid(made)
    assert _pid(made) == before
    with postgres.connected(pair.primary) as db:
        db.execute("ALTER SYSTEM SET default_transaction_read_only = on")
        db.execute("SELECT pg_reload_conf()")
        until(lambda: db.execute("SHOW default_transaction_read_only").fetchone() == ("on",))
        with pytest.raises(Unavailable) as refused:
            rename(pair, "Mill Lane")
        assert refused.value.code == "database-away"
        assert _pid(made) != before
        db.execute("SET default_transaction_read_only = off")
        db.execute("ALTER SYSTEM SET default_transaction_read_only = off")
        db.execute("SELECT pg_reload_conf()")
    until(lambda: _renamed(pair))


def _pid(made: Engine) -> int:
    """Which process of the server's answers a connection out of the pool."""
    with session(made) as db:
        return int(db.connection().execute(text("SELECT pg_backend_pid()")).scalar_one())


def _renamed(pair: Pair) -> bool:
    try:
        rename(pair, "Mill Lane")
    except Unavailable:
        return False
    return True
