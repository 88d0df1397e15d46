"""A job begun far away by procedures that the shop has changed in the meantime: it goes by the phone's own sheet."""

from pathlib import Path

import pytest
from playwright.sync_api import Playwright, expect

from webapp.core.fold import step_of
from webapp.core.sheet import content_hash

from ..cast import NOOR
from . import shop
from .alone import Alone
from .kept import KeptBrowser
from .phone import Phone
from .wire import Wire

pytestmark = pytest.mark.browser


def revised(folder: Path) -> Path:
    """The same library, with one button renamed."""
    made = shop.quick_procedures(folder)
    axis = made / "shared/reference-axis.yaml"
    axis.write_text(axis.read_text().replace("button: Chocked\n", "button: Chocks set\n"))
    return made


def test_a_job_begun_by_older_procedures_brings_its_own_sheet_and_says_so(
    playwright: Playwright, tmp_path: Path
) -> None:
    data, profile = tmp_path / "shop", tmp_path / "profile"
    with shop.serving(data, shop.quick_procedures(tmp_path / "older")) as address:
        network = Wire(int(address.rpartition(":")[2]))
        browser = KeptBrowser(playwright, profile, network.address)
        browser.pair()
        browser.stock()
        network.cut()
    phone = Alone(browser.page, shop.kit(data), "")
    phone.badge(NOOR)
    shop.take_in(browser.page, phone)
    step = step_of(phone.journal()[0], phone.at())
    assert step is not None
    phone.do(step)

    with shop.serving(data, revised(tmp_path / "newer")) as address:
        network.to_port = int(address.rpartition(":")[2])
        network.heal()
        browser.page.reload()
        expect(browser.page.locator("a[data-truth=agree]")).to_be_visible(timeout=60_000)
        sheet, events = Phone.journal(phone)
        assert content_hash(sheet) == content_hash(phone.journal()[0])
        assert {step["button"] for step in sheet["steps"]} & {"Chocked", "Chocks set"} == {"Chocked"}
        assert events[0].kind == "started"
        browser.page.reload()
        browser.page.get_by_text("One thing to look at").click()
        expect(browser.page.get_by_text("The phone made its sheet from other procedures")).to_be_visible()
        browser.page.goto("/")
        expect(browser.page.locator(".where", has_text="something to look at")).to_have_count(1)
        network.close()
    browser.context.close()
    assert browser.troubles == []
