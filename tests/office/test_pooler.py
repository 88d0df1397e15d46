"""Head office behind a pooler in transaction mode: nothing that it says of whom it sees outlives the transaction."""

from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack
from datetime import date
from pathlib import Path

import pytest
from sqlalchemy import text

from tests import pgbouncer, postgres
from tests.browsing import Browser
from tests.cast import TOMAS, scan_badge
from tests.databases import Databases
from tests.web.markup import Page
from webapp import create_app
from webapp.config import settings
from webapp.core.procedure import Library
from webapp.storage import demo
from webapp.storage.engine import writing
from webapp.storage.office import door

from .conftest import OWNER, Office, Shop, close_shop, open_shop

AT_ONCE, ROUNDS = 6, 40


@pytest.fixture
def pooled(library: Library, tmp_path: Path) -> Iterator[Office]:
    """A head office that reaches its database through the pooler alone, from its first migration on."""
    with postgres.serving(postgres.FAST) as server:
        with postgres.connected(server) as db:
            db.execute(f"CREATE ROLE {OWNER} LOGIN")
            db.execute(f"CREATE DATABASE {OWNER} OWNER {OWNER}")
        with pgbouncer.pooling(server, OWNER) as pooler:
            url = pgbouncer.url(pooler, OWNER, OWNER)
            about = settings({"DATABASE_URL": url, "HEAD_OFFICE": "yes"}, data=tmp_path / "office")
            app = create_app(about)
            app.testing, app.test_client_class = True, Browser
            made = Office(app.extensions["engine"], about, server, OWNER, app)
            with writing(made.engine) as held:
                demo.load(held, library.catalogue, date(2026, 3, 7))
            yield made
            made.engine.dispose()


@pytest.fixture
def shops(pooled: Office, databases: Databases, history_folder: Path, tmp_path: Path) -> Iterator[list[Shop]]:
    with ExitStack() as held:
        made = []
        for number, region in enumerate(("North", "South", "East")):
            made.append(open_shop(databases, history_folder, tmp_path / f"shop-{number}", pooled))
            held.callback(close_shop, databases, made[-1])
            made[-1].join(pooled.code(f"Shop {number}", region))
        yield made


def at_once(*works: Callable[[], object]) -> None:
    with ThreadPoolExecutor(len(works)) as threads:
        for one in [threads.submit(work) for work in works]:
            one.result()


def test_shops_send_and_pages_answer_through_it(pooled: Office, shops: list[Shop]) -> None:
    at_once(*(shop.drain for shop in shops))
    for shop in shops:
        assert shop.arrived() == shop.size()
    assert pooled.count("entry") == sum(shop.size() for shop in shops)
    with pooled.app.test_client() as desk:
        scan_badge(desk, TOMAS)
        for page in ("/shops", "/shops/times", "/shops/times/forward-camera-static", "/shops/kit"):
            answer = desk.get(page)
            assert answer.status_code == 200, page
            assert "Shop 2" in Page(answer.text).text or page == "/shops/times"


def test_nobody_sees_what_the_one_before_was_let_see(pooled: Office, shops: list[Shop]) -> None:
    """More ask at once than there are connections to lend, each in the name of another; and some in nobody's."""
    at_once(*(shop.drain for shop in shops))
    every = text("SELECT DISTINCT shop FROM office.entry")

    def of_a_shop(shop: Shop) -> None:
        for _ in range(ROUNDS):
            with door.of_shop(pooled.engine, shop.name()) as db:
                assert db.execute(every).scalars().all() == [shop.name()]

    def of_a_region(region: str, shop: Shop) -> None:
        for _ in range(ROUNDS):
            with door.of_regions(pooled.engine, [region]) as db:
                assert db.execute(every).scalars().all() == [shop.name()]

    def of_nobody() -> None:
        for _ in range(ROUNDS):
            with door.of_regions(pooled.engine, []) as db:
                assert db.execute(every).scalars().all() == []

    works: list[Callable[[], object]] = [of_nobody, of_nobody]
    for shop, region in zip(shops[: AT_ONCE // 2], ("North", "South", "East"), strict=True):
        works += [lambda shop=shop: of_a_shop(shop), lambda shop=shop, region=region: of_a_region(region, shop)]
    at_once(*works)
