"""A copy of the shop, made while it is served, and the shop put back from it: nothing is numbered or named twice."""

import hashlib
import stat
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner
from flask import Flask

from tests.cast import NOOR, scan_badge
from tests.sync.conftest import Exchange, Opened
from tests.sync.conftest import opened as opened
from tests.sync.conftest import sync_database as sync_database
from webapp import create_app
from webapp.backup import backup, restore
from webapp.cli import main
from webapp.config import settings
from webapp.core.errors import BadInput
from webapp.storage import arrivals, own, progress
from webapp.storage.engine import session


@pytest.fixture
def at(opened: Opened) -> Exchange:
    return opened()


@pytest.fixture
def restored(at: Exchange, tmp_path: Path) -> Iterator[Flask]:
    """The shop as it was a while ago, put back elsewhere and served by a process of its own."""
    progress.forget()
    arrivals.forget()
    backup(at.settings, tmp_path / "copy")
    made = settings({}, data=tmp_path / "new")
    restore(made, tmp_path / "copy")
    app = create_app(made)
    app.testing = True
    yield app
    app.extensions["engine"].dispose()
    progress.forget()
    arrivals.forget()


def note(at: Exchange, job: str, text: str) -> None:
    """Something done at the server's own pages."""
    scan_badge(at.client, NOOR)
    assert at.client.post(f"/jobs/{job}", data={"do": "note", "text": text}).status_code == 303


def test_a_copy_holds_all_that_the_shop_keeps_with_its_rights(at: Exchange, tmp_path: Path) -> None:
    job, copy = at.job(), tmp_path / "copy"
    note(at, job, "Before.")
    (at.settings.photos / "ab").mkdir(parents=True)
    (at.settings.photos / "ab" / "abcd.jpg").write_bytes(b"a photo")
    (at.settings.data / "tls").mkdir()
    (at.settings.data / "tls" / "root.key").write_text("a key")
    (at.settings.data / "tls" / "root.key").chmod(0o600)
    assert "3 files that were new" in backup(at.settings, copy)  # the photo, the key, the secret
    assert "0 files that were new" in backup(at.settings, copy)
    made = settings({}, data=tmp_path / "new")
    restore(made, copy)
    assert (tmp_path / "new/photos/ab/abcd.jpg").read_bytes() == b"a photo"
    assert stat.S_IMODE((tmp_path / "new/tls/root.key").stat().st_mode) == 0o600
    assert settings({}, data=tmp_path / "new").secret == at.settings.secret
    assert stat.S_IMODE(copy.stat().st_mode) == 0o700


def test_a_restored_server_gives_no_place_and_no_number_again(at: Exchange, tmp_path: Path) -> None:
    job = at.job()
    phone = at.phone(job)
    backup(at.settings, tmp_path / "copy")
    note(at, job, "Forgotten by the backup.")
    phone.pull(at.client, job)
    heard = {(event.device, event.seq): event for event in phone.events(job)}
    assert ("server", 2) in heard
    with session(at.engine) as db:
        last = arrivals.newest(db, job)
    at.engine.dispose()
    progress.forget()
    arrivals.forget()

    made = settings({}, data=tmp_path / "new")
    restore(made, tmp_path / "copy")
    app = create_app(made)
    again = Exchange(app.test_client(), app.extensions["engine"], made)
    note(again, job, "Done after the restore.")
    newest = again.events(job)[-1]
    assert own.is_own(newest.device)
    assert newest.device != "server"
    assert (newest.device, newest.seq) not in heard
    with session(again.engine) as db:
        assert arrivals.newest(db, job) > last
    again.engine.dispose()
    progress.forget()
    arrivals.forget()


def test_a_phone_goes_on_with_a_restored_server(at: Exchange, restored: Flask) -> None:
    again = Exchange(restored.test_client(), restored.extensions["engine"], restored.extensions["settings"])
    job = again.job()
    phone = again.phone(job)
    assert phone.work(job)
    phone.send(again.client)
    note(again, job, "By the server.")
    phone.pull(again.client, job)
    assert again.digest(job) == phone.digest(job)


def test_each_restore_begins_another_journal(at: Exchange, tmp_path: Path) -> None:
    backup(at.settings, tmp_path / "copy")
    names = set()
    for folder in ("one", "two"):
        restore(made := settings({}, data=tmp_path / folder), tmp_path / "copy")
        app = create_app(made)
        names.add(app.extensions["journal"])
        app.extensions["engine"].dispose()
    assert len(names | {"server"}) == 3


def test_a_copy_put_back_by_hand_needs_only_the_new_name(at: Exchange) -> None:
    at.engine.dispose()
    assert "journal goes on as server-" in restore(at.settings, at.settings.data)


def test_what_would_overwrite_a_shop_or_is_no_copy_is_refused(at: Exchange, tmp_path: Path) -> None:
    digest = hashlib.sha256((at.settings.data / "baybook.db").read_bytes()).hexdigest()
    (tmp_path / "empty").mkdir()
    backup(at.settings, tmp_path / "copy")
    for folder, says in (("empty", r"baybook\.db is missing"), ("copy", "holds a shop already")):
        with pytest.raises(BadInput, match=says):
            restore(at.settings, tmp_path / folder)
    with pytest.raises(BadInput, match="own data folder"):
        backup(at.settings, at.settings.data)
    elsewhere = settings({"DATABASE_URL": "postgresql+psycopg://baybook@db/shop"}, data=tmp_path / "other")
    with pytest.raises(BadInput, match="is not a file in the data folder"):
        backup(elsewhere, tmp_path / "copy")
    assert hashlib.sha256((at.settings.data / "baybook.db").read_bytes()).hexdigest() == digest


def test_the_commands_do_it_from_a_shell(at: Exchange, tmp_path: Path) -> None:
    copy = str(tmp_path / "copy")
    made = CliRunner().invoke(main, ["backup", copy, "--data", str(at.settings.data)])
    assert (made.exit_code, "is copied to" in made.stdout) == (0, True)
    back = CliRunner().invoke(main, ["restore", copy, "--data", str(tmp_path / "new")])
    assert (back.exit_code, "phones send again what is missing" in back.stdout) == (0, True)
    again = CliRunner().invoke(main, ["restore", copy, "--data", str(tmp_path / "new")])
    assert (again.exit_code, "holds a shop already" in again.stderr) == (2, True)
