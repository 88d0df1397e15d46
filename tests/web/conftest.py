"""What tests of the pages share."""

from collections.abc import Iterator

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy.engine import Engine

from webapp.config import Settings
from webapp.storage.engine import engine as engine_for


@pytest.fixture
def impatient(app: Flask, client: FlaskClient, shop: Settings) -> Iterator[Engine]:
    """The shop's engine, but one that does not wait for a lock."""
    made = engine_for(shop.database_url, wait_s=0)
    app.extensions["engine"] = made
    yield made
    made.dispose()
