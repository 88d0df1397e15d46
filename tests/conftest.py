"""What most tests start from: a data folder of their own, with an empty database or with the standing cast in it."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy.engine import Engine

from webapp.config import Settings, settings
from webapp.storage.engine import engine as engine_for
from webapp.storage.migrate import upgrade


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


@pytest.fixture
def engine(shop: Settings, empty_database: Path) -> Iterator[Engine]:
    """An engine on the shop's own copy of the empty database."""
    shutil.copy(empty_database, shop.data / "baybook.db")
    made = engine_for(shop.database_url)
    yield made
    made.dispose()
