"""A phone that holds a week of jobs that are over asks about all of them at once, and hears only of what is new."""

import re
from pathlib import Path

import pytest
from playwright.sync_api import Playwright, Request
from sqlmodel import col, select

from webapp.core.events import Event, new_id
from webapp.storage.engine import engine, session, writing
from webapp.storage.journal import append, next_seq
from webapp.storage.progress import progress_of
from webapp.storage.tables import Job
from webapp.sync import moment

from ..cast import NOOR
from . import shop
from .alone import READ, Alone
from .kept import KeptBrowser
from .until import SYNC

pytestmark = pytest.mark.browser

JOBS = 6
HEARD = re.compile(r"/sync/jobs/([^/]+)/events")


def add_note(data: Path) -> str:
    """Somebody's note, heard of late, on one of the jobs that are over; return which."""
    made = engine(f"sqlite:///{data / 'baybook.db'}")
    with writing(made) as db:
        job = db.exec(select(Job.id).where(Job.phase == "finished").order_by(col(Job.id))).first()
        assert job is not None
        seq, place = next_seq(db, "server"), progress_of(db, job).round_of("server")
        note = Event(
            new_id(seq), job, "server", seq, "noted", None, 1, 0, moment.now(), 1.0, "boot", NOOR.badge,
            {"text": "The customer came back with a flat tyre."}, place,
        )  # fmt: skip
        append(db, [note])
    made.dispose()
    return job


def finished(data: Path) -> list[str]:
    made = engine(f"sqlite:///{data / 'baybook.db'}")
    with session(made) as db:
        found = list(db.exec(select(Job.id).where(Job.phase == "finished")).all())
    made.dispose()
    return found


def test_of_many_jobs_that_are_over_only_what_is_new_is_heard(playwright: Playwright, tmp_path: Path) -> None:
    data = tmp_path / "shop"
    with shop.serving(data, shop.quick_procedures(tmp_path / "procedures"), history=JOBS) as address:
        browser = KeptBrowser(playwright, tmp_path / "profile", address)
        browser.pair()
        page, phone = browser.page, Alone(browser.page, shop.kit(data), "")
        phone.badge(NOOR)
        over = finished(data)
        for job in over:
            page.goto(f"/jobs/{job}")
        page.evaluate(SYNC)
        held = {one["job"] for one in page.evaluate(READ, ["jobs", None])}
        assert len(over) >= JOBS
        assert held >= set(over)

        heard: list[str] = []

        def listen(request: Request) -> None:
            heard.extend(HEARD.findall(request.url))

        browser.context.on("request", listen)
        page.evaluate(SYNC)
        assert heard == []

        noted = add_note(data)
        page.evaluate(SYNC)
        assert heard == [noted]
        events = page.evaluate(READ, ["events", noted])
        (kept,) = page.evaluate(READ, ["jobs", noted])
        assert "noted" in {one["kind"] for one in events}
        assert kept["agreed"] == len(events)

        page.evaluate(SYNC)
        assert heard == [noted]
        browser.context.close()
        assert browser.troubles == []
