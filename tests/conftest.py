"""What most tests start from: a data folder of their own, with an empty database or with the standing cast in it."""

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient
from hypothesis import HealthCheck
from hypothesis import settings as property_tests
from sqlalchemy.engine import Engine

from tests.databases import POSTGRESQL, Databases, opened
from webapp.config import Settings, settings
from webapp.core.procedure import Library
from webapp.library.load import load
from webapp.paths import PROCEDURES, STATIC
from webapp.storage import demo, history
from webapp.storage.engine import engine as engine_for
from webapp.storage.engine import writing
from webapp.storage.migrate import upgrade

# Never judged by how long an example or its making took: the machine may be doing something else. The same examples
# each time, so that main is as green tomorrow as today; `make soak` looks for new ones.
property_tests.register_profile(
    "house", deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize="SEED" not in os.environ
)
property_tests.load_profile("house")

# These take browsers that `make test` does without: see .ci/engines.sh.
collect_ignore = [] if "ENGINES" in os.environ else ["engines"]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Some tests are about SQLite's own files."""
    for item in items:
        if POSTGRESQL and item.get_closest_marker("sqlite"):
            item.add_marker(pytest.mark.skip(reason="is about SQLite's own files"))


def pytest_sessionstart(session: pytest.Session) -> None:
    """What a browser loads is made from the sources as they are now; once, also where several processes test."""
    if not hasattr(session.config, "workerinput"):
        subprocess.run([sys.executable, str(STATIC.parent / ".ci/app.py")], check=True)


@pytest.fixture(scope="session")
def library() -> Library:
    """The library that ships."""
    return load(PROCEDURES)


@pytest.fixture(scope="session")
def databases() -> Iterator[Databases]:
    """What the shops' databases lie in."""
    with opened() as found:
        yield found


@pytest.fixture
def shop(databases: Databases, tmp_path: Path) -> Settings:
    """The settings of a shop whose data folder is new and empty."""
    return databases.settings(tmp_path / "data")


@pytest.fixture(scope="session")
def empty_database(databases: Databases, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a database with all tables and nothing in them, to be copied."""
    folder = tmp_path_factory.mktemp("empty")
    databases.create(folder)
    made = engine_for(databases.url(folder))
    upgrade(made)
    made.dispose()
    return folder


@pytest.fixture(scope="session")
def demo_database(
    databases: Databases, empty_database: Path, library: Library, tmp_path_factory: pytest.TempPathFactory
) -> Path:
    """The same with the demo shop in it: the people and the kit of tests/cast.py."""
    folder = tmp_path_factory.mktemp("demo")
    with databases.copied(empty_database, folder) as made, writing(made) as db:
        demo.load(db, library.catalogue, datetime.now().astimezone().date())
    return folder


@pytest.fixture(scope="session")
def history_folder(
    databases: Databases, demo_database: Path, library: Library, tmp_path_factory: pytest.TempPathFactory
) -> Path:
    """A data folder with the demo shop, 40 finished jobs up to 6 March 2026, and their photos."""
    folder = tmp_path_factory.mktemp("history")
    with databases.copied(demo_database, folder) as made:
        history.load_history(made, library, folder / "photos", until=datetime(2026, 3, 6, 17, tzinfo=UTC))
    return folder


@pytest.fixture
def engine(databases: Databases, shop: Settings, empty_database: Path) -> Iterator[Engine]:
    """An engine on the shop's own copy of the empty database."""
    with databases.lent(empty_database, shop.data) as made:
        yield made


@pytest.fixture
def demo_engine(databases: Databases, shop: Settings, demo_database: Path) -> Iterator[Engine]:
    """An engine on the shop's own copy of the demo shop."""
    with databases.lent(demo_database, shop.data) as made:
        yield made


@pytest.fixture
def history_engine(databases: Databases, shop: Settings, history_folder: Path) -> Iterator[Engine]:
    """An engine on the shop's own copy of the demo shop with its history."""
    shutil.copytree(history_folder / "photos", shop.photos)
    with databases.lent(history_folder, shop.data) as made:
        yield made


@pytest.fixture(scope="session")
def app(tmp_path_factory: pytest.TempPathFactory) -> Flask:
    """The application. Its shop is replaced for every test, so that only one has to be made."""
    from tests.browsing import Browser
    from webapp import create_app  # here, so that a test of the core does without Flask

    made = create_app(settings({}, data=tmp_path_factory.mktemp("app")))
    made.testing = True
    made.test_client_class = Browser
    made.extensions["engine"].dispose()
    return made


@pytest.fixture
def client(app: Flask, shop: Settings, demo_engine: Engine) -> Iterator[FlaskClient]:
    """A phone that has just opened the demo shop's pages; nobody's badge is scanned yet."""
    app.extensions |= {"engine": demo_engine, "settings": shop}
    with app.test_client() as opened:
        yield opened
