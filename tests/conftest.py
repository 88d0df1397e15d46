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


def pytest_sessionstart(session: pytest.Session) -> None:
    """What a browser loads is made from the sources as they are now; once, also where several processes test."""
    if not hasattr(session.config, "workerinput"):
        subprocess.run([sys.executable, str(STATIC.parent / ".ci/app.py")], check=True)


@pytest.fixture(scope="session")
def library() -> Library:
    """The library that ships."""
    return load(PROCEDURES)


@pytest.fixture
def shop(tmp_path: Path) -> Settings:
    """The settings of a shop whose data folder is new and empty."""
    return settings({}, data=tmp_path / "data")


@pytest.fixture(scope="session")
def empty_database(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database with all tables and nothing in them, to be copied: migrating anew for every test would be slow."""
    path = tmp_path_factory.mktemp("empty") / "baybook.db"
    made = engine_for(f"sqlite:///{path}")
    upgrade(made)
    made.dispose()
    return path


@pytest.fixture(scope="session")
def demo_database(empty_database: Path, library: Library, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The same with the demo shop in it: the people and the kit of tests/cast.py."""
    path = tmp_path_factory.mktemp("demo") / "baybook.db"
    shutil.copy(empty_database, path)
    made = engine_for(f"sqlite:///{path}")
    with writing(made) as db:
        demo.load(db, library.catalogue, datetime.now().astimezone().date())
    made.dispose()
    return path


@pytest.fixture(scope="session")
def history_folder(demo_database: Path, library: Library, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data folder with the demo shop, 40 finished jobs up to 6 March 2026, and their photos."""
    folder = tmp_path_factory.mktemp("history")
    shutil.copy(demo_database, folder / "baybook.db")
    made = engine_for(f"sqlite:///{folder / 'baybook.db'}")
    history.load_history(made, library, folder / "photos", until=datetime(2026, 3, 6, 17, tzinfo=UTC))
    made.dispose()
    return folder


def _engine_on_a_copy(shop: Settings, database: Path) -> Iterator[Engine]:
    shutil.copy(database, shop.data / "baybook.db")
    made = engine_for(shop.database_url)
    yield made
    made.dispose()


@pytest.fixture
def engine(shop: Settings, empty_database: Path) -> Iterator[Engine]:
    """An engine on the shop's own copy of the empty database."""
    yield from _engine_on_a_copy(shop, empty_database)


@pytest.fixture
def demo_engine(shop: Settings, demo_database: Path) -> Iterator[Engine]:
    """An engine on the shop's own copy of the demo shop."""
    yield from _engine_on_a_copy(shop, demo_database)


@pytest.fixture
def history_engine(shop: Settings, history_folder: Path) -> Iterator[Engine]:
    """An engine on the shop's own copy of the demo shop with its history."""
    shutil.copytree(history_folder / "photos", shop.photos)
    yield from _engine_on_a_copy(shop, history_folder / "baybook.db")


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
