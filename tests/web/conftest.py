"""What tests of the pages share."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy.engine import Engine

from tests.cast import NOOR, Someone, scan_badge
from tests.databases import Databases
from tests.storage.test_years import loaded
from webapp.config import Settings
from webapp.core.procedure import Library
from webapp.storage.engine import engine as engine_for

from .job import AtJob, Begin, begin


@pytest.fixture
def at(client: FlaskClient, demo_engine: Engine, library: Library, shop: Settings) -> Begin:
    """Bring a job to a step; whoever works it has scanned their badge on this phone."""

    def brought(until: str, person: Someone = NOOR, **more: Any) -> AtJob:
        scan_badge(client, person)
        return begin(client, demo_engine, library, shop.photos, until, person=person, **more)

    return brought


@pytest.fixture
def impatient(app: Flask, client: FlaskClient, shop: Settings) -> Iterator[Engine]:
    """The shop's engine, but one that does not wait for a lock."""
    made = engine_for(shop.database_url, wait_s=0)
    app.extensions["engine"] = made
    yield made
    made.dispose()


@pytest.fixture
def pages(app: Flask, shop: Settings, history_engine: Engine) -> Iterator[FlaskClient]:
    """A phone at the pages of the demo shop with its history of 40 jobs."""
    app.extensions |= {"engine": history_engine, "settings": shop}
    with app.test_client() as opened:
        yield opened


@pytest.fixture(scope="session")
def years(
    databases: Databases, demo_database: Path, library: Library, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Engine]:
    """The demo shop after more than a year, to be read and not changed: 700 jobs, a dozen and a half a week."""
    folder = tmp_path_factory.mktemp("years")
    with loaded(databases, demo_database, folder, library, 700, seed=8, patterns=18) as made:
        yield made


@pytest.fixture
def busy(app: Flask, shop: Settings, years: Engine) -> Iterator[FlaskClient]:
    """A phone at the pages of that shop."""
    app.extensions |= {"engine": years, "settings": shop}
    with app.test_client() as opened:
        yield opened
