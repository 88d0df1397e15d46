"""A copy of the shop, made while it is served, and the shop put back from it: nothing is numbered or named twice."""

import hashlib
import json
import sqlite3
import stat
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy.engine import Engine

from tests.browsing import Browser
from tests.cast import ADA, NOOR, scan_badge
from tests.sync.conftest import Exchange, Opened
from tests.sync.conftest import opened as opened
from tests.sync.conftest import sync_database as sync_database
from webapp import create_app
from webapp.backup import backup, restore
from webapp.cli import main
from webapp.config import Settings, settings
from webapp.core.errors import BadInput
from webapp.lockbox import make_key
from webapp.nightly import copy_now, seconds_until
from webapp.storage import arrivals, own, progress
from webapp.storage.copied import Copied, newest, try_out
from webapp.storage.engine import engine as engine_for
from webapp.storage.engine import session, writing
from webapp.storage.tables import Fact

pytestmark = pytest.mark.sqlite


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
    app.test_client_class = Browser
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
    app.test_client_class = Browser
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
        app.test_client_class = Browser
        names.add(app.extensions["journal"])
        app.extensions["engine"].dispose()
    assert len(names | {"server"}) == 3


def test_a_copy_put_back_by_hand_needs_only_the_new_name(at: Exchange) -> None:
    at.engine.dispose()
    assert "journal goes on as server-" in restore(at.settings, at.settings.data)


def test_what_would_overwrite_a_shop_or_is_no_copy_is_refused(at: Exchange, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    backup(at.settings, tmp_path / "copy")
    digest = hashlib.sha256((at.settings.data / "baybook.db").read_bytes()).hexdigest()
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


@pytest.fixture
def with_history(shop: Settings, history_engine: Engine) -> Settings:
    """A shop with finished jobs, photos and a log."""
    history_engine.dispose()
    return shop


def counted(settings: Settings) -> Copied:
    made = engine_for(settings.database_url)
    found = try_out(made, settings.photos, datetime.now(UTC))
    made.dispose()
    return found


def test_an_encrypted_copy_opens_with_its_key_alone(with_history: Settings, tmp_path: Path) -> None:
    key, other, copy = tmp_path / "key", tmp_path / "other", tmp_path / "copy"
    for path in (key, other):
        made = CliRunner().invoke(main, ["backup-key", str(path)])
        assert made.exit_code == 0
        assert stat.S_IMODE(path.stat().st_mode) == 0o600
    with pytest.raises(BadInput, match="is not there yet"):
        make_key(key)
    said = backup(with_history, copy, key)
    assert "0 files that were new" in backup(with_history, copy, key)
    files = [path for path in copy.rglob("*") if path.is_file()]
    assert all(path.name.endswith(".age") and path.read_bytes().startswith(b"age-encryption.org/v1") for path in files)
    for wrong, what in ((other, "does not open with this key"), (None, "without its key")):
        with pytest.raises(BadInput, match=what):
            restore(settings({}, data=tmp_path / "none"), copy, wrong)
    new = settings({}, data=tmp_path / "new")
    assert "finished" in restore(new, copy, key)
    there, back = counted(with_history), counted(new)
    assert replace(back, at=there.at) == there
    assert f"{there.jobs} jobs" in said
    assert there.photos > 5
    with pytest.raises(BadInput, match="holds an encrypted copy, and no key was given"):
        backup(with_history, copy)
    (tmp_path / "no-key").write_text("a key")
    with pytest.raises(BadInput, match="is no file with an age key"):
        backup(with_history, tmp_path / "third", tmp_path / "no-key")


def break_photo(data: Path) -> None:
    next(path for path in (data / "photos").rglob("*") if path.is_file()).write_bytes(b"another picture")


def lose_photo(data: Path) -> None:
    next(path for path in (data / "photos").rglob("*") if path.is_file()).unlink()


def rewrite_log(data: Path) -> None:
    with closing(sqlite3.connect(data / "baybook.db")) as db, db:
        db.execute("UPDATE log_entry SET text = replace(text, 'finished', 'abandoned') WHERE number = 3")


def shorten_log(data: Path) -> None:
    with closing(sqlite3.connect(data / "baybook.db")) as db, db:
        db.execute("DELETE FROM log_entry WHERE number = 3")


def damage_database(data: Path) -> None:
    with (data / "baybook.db").open("r+b") as file:
        size = file.seek(0, 2)
        file.seek(size // 2)
        file.write(b"\xff" * 65536)


@pytest.mark.parametrize(
    ("harm", "said"),
    [
        (break_photo, "is damaged"),
        (lose_photo, "is missing"),
        (rewrite_log, "does not fit the entries"),
        (shorten_log, "entry 3 of the log is missing"),
        (damage_database, "its database is damaged"),
    ],
)
def test_a_copy_that_is_not_sound_is_told_and_never_put_back(
    with_history: Settings, tmp_path: Path, harm: Callable[[Path], None], said: str
) -> None:
    backup(with_history, tmp_path / "copy")
    before = told_of(with_history)
    harm(tmp_path / "copy")
    with pytest.raises(BadInput, match=said):
        restore(settings({}, data=tmp_path / "new"), tmp_path / "copy")
    assert not (tmp_path / "new/baybook.db").exists()
    lose_photo(with_history.data)
    with pytest.raises(BadInput, match=r"photo [0-9a-f]{64} is missing"):
        backup(with_history, tmp_path / "later")
    assert told_of(with_history) == before  # it does not count as one


def told_of(settings: Settings) -> dict[str, Any] | None:
    made = engine_for(settings.database_url)
    with session(made) as db:
        found = newest(db)
    made.dispose()
    return found


def test_what_a_restore_replaces_is_told_and_moved_aside(with_history: Settings, tmp_path: Path) -> None:
    copy, new = tmp_path / "copy", settings({}, data=tmp_path / "new")
    backup(with_history, copy)
    restore(new, copy)
    there = counted(new)
    with pytest.raises(BadInput, match=f"{there.jobs} jobs, the last one finished .*; the copy has {there.jobs} jobs"):
        restore(new, copy)
    done = restore(new, copy, replace=True)
    (aside,) = tmp_path.glob("new-before-*")
    assert f"It replaces {there.jobs} jobs" in done
    assert str(aside) in done
    assert counted(settings({}, data=aside)).events == counted(new).events


def test_the_page_tells_how_old_the_newest_copy_is(
    client: FlaskClient, shop: Settings, tmp_path: Path, demo_engine: Engine
) -> None:
    assert client.get("/backups").status_code == 403
    scan_badge(client, ADA)
    assert "There is no backup that was tried out." in client.get("/backups").text
    backup(shop, tmp_path / "copy")
    page = client.get("/backups").text
    assert "less than a day old" in page
    assert str(tmp_path / "copy") in page
    with writing(demo_engine) as db:
        fact = db.get_one(Fact, "backup")
        fact.value = fact.value.replace(json.loads(fact.value)["at"][:10], "2026-03-02")
        db.add(fact)
    assert "days old" in client.get("/backups").text


def test_the_server_copies_itself_daily_with_what_was_set(with_history: Settings, tmp_path: Path) -> None:
    key = tmp_path / "key"
    make_key(key)
    given = {"BACKUP_TO": str(tmp_path / "copy"), "BACKUP_AT": "03:15", "BACKUP_KEY": str(key)}
    shop = settings(given, data=with_history.data)
    assert "The copy was put back elsewhere and tried out" in copy_now(shop)
    assert (tmp_path / "copy/baybook.db.age").is_file()
    for now, until_h in (("2026-03-02T01:15", 2.0), ("2026-03-02T03:15", 24.0), ("2026-03-02T04:15", 23.0)):
        at = datetime.fromisoformat(f"{now}:00+00:00")
        assert seconds_until("03:15", at.astimezone(UTC)) == until_h * 3600
    for name, wrong in (("BACKUP_AT", "25:00"), ("BACKUP_KEY", str(tmp_path / "none"))):
        with pytest.raises(BadInput, match=name):
            settings(given | {name: wrong}, data=with_history.data)
