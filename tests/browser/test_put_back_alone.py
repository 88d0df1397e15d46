"""The shop is put back from a backup that has never heard of a job begun on a phone: the phone brings it home again."""

import shutil
from pathlib import Path

import pytest
from playwright.sync_api import Playwright, expect

from webapp.core.fold import fold, step_of
from webapp.core.sheet import content_hash

from ..cast import NOOR
from . import shop
from .alone import Alone
from .kept import KeptBrowser
from .phone import Phone
from .wire import Wire

pytestmark = pytest.mark.browser


def do_one_step(phone: Alone) -> None:
    step = step_of(phone.journal()[0], phone.at() or "")
    assert step is not None
    phone.do(step)


def both_agree(browser: KeptBrowser) -> None:
    expect(browser.page.locator("a[data-truth=agree]")).to_be_visible(timeout=60_000)


def test_a_job_that_the_backup_lacks_comes_home_a_second_time(playwright: Playwright, tmp_path: Path) -> None:
    data, backup = tmp_path / "shop", tmp_path / "backup"
    procedures = shop.quick_procedures(tmp_path / "procedures")
    with shop.serving(data, procedures) as address:
        network = Wire(int(address.rpartition(":")[2]))
        browser = KeptBrowser(playwright, tmp_path / "profile", network.address)
        browser.pair()
        browser.stock()
        network.cut()
    shutil.copytree(data, backup)
    with shop.serving(data, procedures) as address:
        network.to_port = int(address.rpartition(":")[2])
        network.heal()
        phone = Alone(browser.page, shop.kit(data), "")
        phone.badge(NOOR)
        shop.take_in(browser.page, phone)
        do_one_step(phone)
        both_agree(browser)
        network.cut()

    shutil.rmtree(data)
    backup.rename(data)
    with shop.serving(data, procedures) as address:
        network.to_port = int(address.rpartition(":")[2])
        network.heal()
        do_one_step(phone)
        browser.page.reload()
        both_agree(browser)
        sheet, events = Phone.journal(phone)
        assert content_hash(sheet) == content_hash(phone.journal()[0])
        assert (len(events), fold(sheet, events)) == (3, phone.state())
        assert [one for one in phone.read("events") if "aside" in one] == []
        network.close()
    browser.context.close()
    assert browser.troubles == []
