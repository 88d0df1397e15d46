"""A server put back from an older backup says what it has, and phones send again what it has lost."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.databases import Databases
from tests.sync.conftest import Exchange, Opened
from tests.sync.test_offline_jobs import begun, planned
from webapp.core.procedure import Library
from webapp.storage import arrivals, progress
from webapp.storage.engine import engine as engine_for


@pytest.fixture
def backup(at: Exchange, opened: Opened, tmp_path: Path) -> Callable[[], None]:
    """Makes a copy of the database as it is now."""
    return lambda: opened.keep(at, tmp_path / "backup")


@pytest.fixture
def restore(at: Exchange, databases: Databases, tmp_path: Path) -> Callable[[], None]:
    """Stops the server, puts the copy in its database's place, and starts it again."""

    def put_back() -> None:
        at.engine.dispose()
        databases.drop(at.settings.data)
        databases.copy(tmp_path / "backup", at.settings.data)
        progress.forget()
        arrivals.forget()
        at.engine = at.client.application.extensions["engine"] = engine_for(at.settings.database_url)

    return put_back


def test_phones_send_again_what_a_restored_server_has_lost(
    at: Exchange, backup: Callable[[], None], restore: Callable[[], None]
) -> None:
    job = at.job()
    one, other = at.phone(job), at.phone(job)
    for phone in (one, other):
        for _ in range(3):
            phone.work(job)
        phone.send(at.client)
    backup()
    for phone in (other, one):
        phone.pull(at.client, job)
        for _ in range(3):
            phone.work(job)
        phone.send(at.client)
    expected, digest = at.state(job), at.digest(job)
    restore()
    for phone in (one, other):
        had = phone.acknowledged
        said = phone.send(at.client)
        assert said["highest"] < had == len(phone.lines)
        assert phone.send(at.client)["highest"] == len(phone.lines)
    assert (at.state(job), at.digest(job)) == (expected, digest)
    at.engine.dispose()


def test_a_server_restored_to_before_the_pairing_takes_phone_and_job_back(
    at: Exchange, library: Library, backup: Callable[[], None], restore: Callable[[], None]
) -> None:
    backup()
    facts, sheet = planned(library)
    phone, job = begun(at, facts, sheet), facts["job"]["id"]
    phone.send(at.client, jobs=[json.dumps(facts)])
    name = phone.device
    restore()
    assert phone.batch([1, 2]).arrive(at.client).status_code == 401
    at.pair(phone)
    assert phone.device == name
    said = phone.heard(phone.batch([1, 2], jobs=[json.dumps(facts)]).arrive(at.client))
    assert said["digests"][job]["digest"] == phone.digest(job)
    at.engine.dispose()
