"""A shop that phones are paired with: the demo shop, the small kit of tests/sheets.py, and one job open."""

import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from random import Random
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy.engine import Engine

from tests.cast import ADA, TOMAS, scan_badge
from tests.databases import Databases
from tests.sheets import KIT, every_kind
from webapp.config import Settings
from webapp.core.act import Draft
from webapp.core.events import Event, new_id
from webapp.core.fold import fold
from webapp.core.state import JobState
from webapp.storage import arrivals, devices, progress
from webapp.storage.engine import engine as engine_for
from webapp.storage.engine import session, writing
from webapp.storage.jobs import create_job, job_of
from webapp.storage.journal import append, events_of, next_seq
from webapp.storage.kit import add_item
from webapp.storage.sheets import keep_sheet, read_sheet
from webapp.sync import moment

from .phone import Phone


@dataclass
class Exchange:
    """The server with its shop, as a test sees it from both ends."""

    client: FlaskClient
    engine: Engine
    settings: Settings

    def job(self, sheet: dict[str, Any] | None = None) -> str:
        """A job that was started at the server."""
        name, at = new_id(1), moment.now()
        made = (sheet or every_kind()) | {}
        made["job"] = made["job"] | {"id": name}
        with writing(self.engine) as db:
            job = create_job(db, name, "calibration", at, phase="open", started_at=at, repair_order="RO 1")
            job.sheet = keep_sheet(db, made)
            db.add(job)
            db.flush()
            seq = next_seq(db, "server")
            started = {"sheet": job.sheet}
            append(db, [Event(new_id(seq), name, "server", seq, "started", None, 1, 0, at, 1.0, "s", None, started)])
        return name

    def tap(self, job: str, draft: Draft) -> Event:
        """Something that is done at the server's own pages."""
        with writing(self.engine) as db:
            seq, at = next_seq(db, "server"), progress.progress_of(db, job)
            event = Event(
                id=new_id(seq), job=job, device="server", seq=seq, kind=draft.kind, step=draft.step,
                attempt=draft.attempt, turn=draft.turn, at=moment.now(), mono_s=seq * 10.0, boot="server-boot",
                data=draft.data, round=at.round_of("server"),
            )  # fmt: skip
            append(db, [event])
        return event

    def pair(self, phone: Phone) -> Phone:
        with writing(self.engine) as db:
            code = devices.make_code(db, ADA.badge, moment.now())
        phone.pair(self.client, code)
        return phone

    def phone(self, job: str | None = None, **about: Any) -> Phone:
        """A paired phone, with the job's packet if one is named."""
        phone = self.pair(Phone(**about))
        if job:
            phone.fetch(self.client, job)
        return phone

    def events(self, job: str) -> list[Event]:
        with session(self.engine) as db:
            return [event for _, event in events_of(db, job)]

    def state(self, job: str) -> JobState:
        """Folded anew from the journal, so that no memory of the server's can hide a loss."""
        with session(self.engine) as db:
            return fold(read_sheet(db, job_of(db, job).sheet or ""), self.events(job))

    def remembered(self, job: str) -> JobState:
        """As the server's own pages would show it."""
        with session(self.engine) as db:
            return progress.progress_of(db, job).state

    def digest(self, job: str) -> str:
        with session(self.engine) as db:
            return arrivals.job_digest(db, job)[0]

    def as_manager(self) -> None:
        """Scan a manager's badge in this browser."""
        scan_badge(self.client, TOMAS)


@pytest.fixture(scope="session")
def sync_database(databases: Databases, demo_database: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the demo shop's database with the things that the small sheet asks for."""
    folder = tmp_path_factory.mktemp("sync")
    with databases.copied(demo_database, folder) as made, writing(made) as db:
        for code, thing in KIT.items():
            add_item(db, thing["kind"], thing["is"], thing["name"], code=code)
    return folder


class Opened:
    """Opens shops, each with a data folder of its own; the last one opened is the one that answers."""

    def __init__(self, app: Flask, databases: Databases, database: Path, folder: Path) -> None:
        self.app, self.databases, self.database, self.folder = app, databases, database, folder
        self.numbers, self.open = count(), list[Path]()

    def __call__(self, folder: Path | None = None, database: Path | None = None) -> Exchange:
        about = self.databases.settings((folder or self.folder) / f"shop-{next(self.numbers)}")
        self.databases.copy(database or self.database, about.data)
        self.open.append(about.data)
        self.app.extensions["engine"].dispose()
        engine = engine_for(about.database_url)
        self.app.extensions |= {"engine": engine, "settings": about}
        return Exchange(self.app.test_client(), engine, about)

    def keep(self, at: Exchange, folder: Path) -> Path:
        """A copy of the shop's database as it is now, to begin others with; nobody may have it open."""
        at.engine.dispose()
        self.databases.copy(at.settings.data, folder)
        self.open.append(folder)
        return folder

    def begin_again(self, at: Exchange, database: Path) -> Exchange:
        """The same shop with the database of this folder. Its engine stays, and with it the statements it knows."""
        at.engine.dispose()
        self.databases.drop(at.settings.data)
        shutil.rmtree(at.settings.data)
        self.databases.copy(database, at.settings.data)
        return Exchange(self.app.test_client(), at.engine, at.settings)

    def close(self) -> None:
        """Have done with all shops."""
        self.app.extensions["engine"].dispose()
        for folder in self.open:
            self.databases.drop(folder)
            shutil.rmtree(folder, ignore_errors=True)
        self.open = []


@pytest.fixture
def opened(app: Flask, databases: Databases, sync_database: Path, tmp_path: Path) -> Iterator[Opened]:
    made = Opened(app, databases, sync_database, tmp_path)
    yield made
    made.close()


@pytest.fixture
def at(opened: Opened) -> Exchange:
    return opened()


@pytest.fixture
def impatient(at: Exchange) -> Iterator[Engine]:
    """A second engine on the same database, as another process has it, that does not wait for the lock."""
    made = engine_for(at.engine.url.render_as_string(hide_password=False), wait_s=0)
    yield made
    made.dispose()


@pytest.fixture
def dice() -> Random:
    return Random(1)
