"""What tests of the pages share."""

from collections.abc import Iterator
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy.engine import Engine

from tests.cast import NOOR, Someone, scan_badge
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
