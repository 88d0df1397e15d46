"""A phone's Today: what the shop has for whoever works with it, told again where no network is."""

from pathlib import Path

import pytest
from playwright.sync_api import Playwright, expect

from webapp.storage.engine import engine, writing
from webapp.storage.outbox_tables import HeadOffice
from webapp.storage.release_tables import Release
from webapp.storage.releases import office_of
from webapp.sync import moment

from ..cast import NOOR
from . import shop
from .alone import Alone
from .kept import KeptBrowser
from .until import SYNC

pytestmark = pytest.mark.browser


def fetch_release(data: Path, number: int) -> None:
    """As if the shop had joined a head office and fetched a release from there."""
    made = engine(f"sqlite:///{data / 'baybook.db'}")
    with writing(made) as db:
        office = HeadOffice(url="https://office.example", shop="s", name="Mill Lane", key="{}", joined_at=moment.now())
        said = {"manifest": "{}", "sha256": "", "signature": "", "made_by": "Head office", "note": "Mats lie closer"}
        at = moment.now()
        db.add(office)
        db.add(Release(office=office_of(office), number=number, made_at=at, fetched_at=at, **said))
    made.dispose()


def test_a_release_that_waits_stands_there_for_a_supervisor(playwright: Playwright, tmp_path: Path) -> None:
    data = tmp_path / "shop"
    with shop.serving(data, shop.quick_procedures(tmp_path / "procedures")) as address:
        browser = KeptBrowser(playwright, tmp_path / "profile", address)
        browser.pair()
        page, waits = browser.page, browser.page.get_by_role("link", name="Release 3 waits for a decision")
        fetch_release(data, 3)
        page.evaluate(SYNC)
        browser.context.set_offline(True)
        page.goto("/")
        expect(waits).to_have_attribute("href", "/releases")
        Alone(page, shop.kit(data), "").badge(NOOR)
        page.goto("/")
        expect(page.get_by_role("heading", name="Today")).to_be_visible()
        expect(waits).to_have_count(0)
        browser.context.close()
        assert browser.troubles == []
