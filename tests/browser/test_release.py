"""A supervisor reads on a phone what a release changes, approves it, and every process of the server turns to it."""

import json
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect
from sqlalchemy.engine import Engine
from sqlmodel import select

from webapp.core.release import Release, files_of
from webapp.library.stock import files_in
from webapp.storage import releases
from webapp.storage.engine import engine, session, writing
from webapp.storage.outbox_tables import HeadOffice
from webapp.storage.release_tables import Release as Row

from ..cast import ADA
from .phone import Phone

pytestmark = pytest.mark.browser

AT = "2026-03-02T08:00:00.000Z"
COMPACT, CAMERA = "vehicles/kestovar-compact.yaml", "forward-camera-static.yaml"
GLASS = "Look through the glass in front of the camera, from outside and from inside."
LONG = f"Look through the glass {'w' * 60} of it."
CHANGES = (
    (COMPACT, "distance: {nominal: 1350 mm, tolerance: 5 mm", "distance: {nominal: 1350 mm, tolerance: 3 mm"),
    (CAMERA, "revision: 2", "revision: 3"),
    (CAMERA, GLASS, LONG),
)
ASKED = 40
"""Connections enough that each of the server's processes answers some."""


@pytest.fixture
def shop_engine(server: str, shop_folder: Path) -> Iterator[Engine]:
    """The shop with a release that was fetched; given up again, since other tests work in this shop too."""
    made = engine(f"sqlite:///{shop_folder / 'baybook.db'}")
    files = files_in(shop_folder / "procedures")
    for place, before, after in CHANGES:
        assert before.encode() in files[place]
        files[place] = files[place].replace(before.encode(), after.encode(), 1)
    said = Release(1, AT, "Tomas at head office", "The boards hang closer now", files_of(files))
    with writing(made) as db:
        office = HeadOffice(url="https://office.example", shop="shop-1", name="Quay", key="{}", joined_at=AT)
        db.add(office)
        for one in said.files:
            releases.keep_file(db, one.sha256, files[one.place])
        number = releases.keep(db, office, said, "signed", AT).id or 0
    yield made
    with writing(made) as db:
        if releases.in_use(db.connection()) == number:
            releases.approve(db, releases.CAME_ALONG, number, ADA.badge, AT, waits=False)
        for row in db.exec(select(HeadOffice)):
            db.delete(row)
        for kept in db.exec(select(Row)):
            kept.office = "an office of long ago"
            db.add(kept)
    made.dispose()


def figures(server: str) -> str:
    """The page of a vehicle's figures, over a connection of its own."""
    with urllib.request.urlopen(f"{server}/specs/kestovar-compact") as answer:
        return str(answer.read().decode())


def test_it_is_read_and_approved_at_390_px_and_every_process_turns(
    page: Page, phone: Phone, server: str, shop_engine: Engine
) -> None:
    phone.badge(ADA)
    assert all("1350 ± 5 mm" in figures(server) for _ in range(ASKED))
    page.goto("/phones")
    page.get_by_role("link", name="Procedures from head office").click()
    page.get_by_role("link", name="Look at what changes").click()
    expect(page.get_by_text("distance: “1350 ± 5 mm” becomes “1350 ± 3 mm”")).to_be_visible()
    expect(page.get_by_text("Revision 2 becomes revision 3.")).to_be_visible()
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.locator("#approve").get_by_label("PIN").fill("0000")
    page.get_by_role("button", name="Approve this release").click()
    expect(page.get_by_role("alert").first).to_contain_text(f"pin is not that of {ADA.name}")
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.locator("#approve").get_by_label("PIN").fill(ADA.pin)
    if page.get_by_label("At once, for the next job").count():
        page.get_by_label("At once, for the next job").check()
    page.get_by_role("button", name="Approve this release").click()
    page.wait_for_url("**/releases")
    expect(page.get_by_text("Jobs are planned by: Release 1")).to_be_visible()
    assert all("1350 ± 3 mm" in figures(server) for _ in range(ASKED))
    with session(shop_engine) as db:
        assert json.loads(releases.every(db)[0].manifest)["number"] == 1
