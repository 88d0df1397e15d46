"""A server put back from an older backup says what it has, and phones send again what it has lost."""

import json
import shutil

from tests.sync.conftest import Exchange
from tests.sync.test_offline_jobs import begun, planned
from webapp.core.procedure import Library
from webapp.storage import arrivals, progress
from webapp.storage.engine import engine as engine_for


def backup(at: Exchange) -> None:
    """A copy of the database as it is now."""
    at.engine.dispose()
    shutil.copy(at.settings.data / "baybook.db", at.settings.data / "backup.db")


def restore(at: Exchange) -> None:
    """Stop the server, put the copy in its place, and start it again."""
    at.engine.dispose()
    for path in at.settings.data.glob("baybook.db*"):
        path.unlink()
    shutil.copy(at.settings.data / "backup.db", at.settings.data / "baybook.db")
    progress.forget()
    arrivals.forget()
    at.engine = at.client.application.extensions["engine"] = engine_for(at.settings.database_url)


def test_phones_send_again_what_a_restored_server_has_lost(at: Exchange) -> None:
    job = at.job()
    one, other = at.phone(job), at.phone(job)
    for phone in (one, other):
        for _ in range(3):
            phone.work(job)
        phone.send(at.client)
    backup(at)
    for phone in (other, one):
        phone.pull(at.client, job)
        for _ in range(3):
            phone.work(job)
        phone.send(at.client)
    expected, digest = at.state(job), at.digest(job)
    restore(at)
    for phone in (one, other):
        had = phone.acknowledged
        said = phone.send(at.client)
        assert said["highest"] < had == len(phone.lines)
        assert phone.send(at.client)["highest"] == len(phone.lines)
    assert (at.state(job), at.digest(job)) == (expected, digest)
    at.engine.dispose()


def test_a_server_restored_to_before_the_pairing_takes_phone_and_job_back(at: Exchange, library: Library) -> None:
    backup(at)
    facts, sheet = planned(library)
    phone, job = begun(at, facts, sheet), facts["job"]["id"]
    phone.send(at.client, jobs=[json.dumps(facts)])
    name = phone.device
    restore(at)
    assert phone.batch([1, 2]).arrive(at.client).status_code == 401
    at.pair(phone)
    assert phone.device == name
    said = phone.heard(phone.batch([1, 2], jobs=[json.dumps(facts)]).arrive(at.client))
    assert said["digests"][job]["digest"] == phone.digest(job)
    at.engine.dispose()
