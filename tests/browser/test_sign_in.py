"""A shared phone: begun with badge and PIN, locked when nobody touches it, with the shop in reach and without."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, Playwright, expect

from ..cast import ADA, ILYA, NOOR, Someone
from . import shop
from .alone import Alone
from .kept import KeptBrowser
from .phone import Phone, begin, give_pin
from .until import until
from .wire import Wire

pytestmark = pytest.mark.browser

# So long nobody has touched the phone, as its disk has it.
UNUSED = """(seconds) => new Promise((done, failed) => {
  const opening = indexedDB.open("baybook");
  opening.onerror = () => failed(opening.error);
  opening.onsuccess = () => {
    const kept = opening.result.transaction("shelf", "readwrite").objectStore("shelf");
    const reading = kept.get("who");
    reading.onsuccess = () => {
      kept.put({ ...reading.result, used_s: Math.floor(Date.now() / 1000) - seconds });
      kept.transaction.oncomplete = () => {
        opening.result.close();
        done();
      };
    };
  };
})"""
UNCHECKED = """() => new Promise((done, failed) => {
  const opening = indexedDB.open("baybook");
  opening.onerror = () => failed(opening.error);
  opening.onsuccess = () => {
    const reading = opening.result.transaction("shelf").objectStore("shelf").get("sign-ins");
    reading.onsuccess = () => {
      opening.result.close();
      done((reading.result?.untold ?? []).length);
    };
  };
})"""


@pytest.fixture
def browser(playwright: Playwright, network: Wire, tmp_path: Path) -> Iterator[KeptBrowser]:
    """A phone whose way to the shop can be cut."""
    kept = KeptBrowser(playwright, tmp_path / "profile", network.address)
    yield kept
    kept.context.close()
    assert kept.troubles == []


def press(page: Page, pin: str) -> None:
    """With the keys on the page, as a thumb does it."""
    for digit in pin:
        page.locator(f"[data-key='{digit}']:visible").click()


def is_here(page: Page, someone: Someone) -> None:
    expect(page.locator(".page-head .who")).to_have_text(someone.name)


def test_whoever_scans_and_types_takes_the_phone_over_with_a_thumb(page: Page) -> None:
    for someone in (NOOR, ILYA):
        page.goto("/badge")
        page.keyboard.type(someone.label)
        page.keyboard.press("Enter")
        press(page, someone.pin[0] + "7")
        page.locator("[data-key=back]:visible").click()
        press(page, someone.pin[1:])
        page.get_by_role("button", name="Start").click()
        page.wait_for_url("**/")
        is_here(page, someone)


def test_a_page_that_nobody_touches_locks_itself_and_keeps_what_was_typed(page: Page, phone: Phone) -> None:
    begin(page, NOOR)
    shop.take_in(page, phone)
    phone.work("/square")
    page.clock.install()
    page.reload()
    page.locator("[name=left_left]").fill("1506")
    step = phone.at()
    page.clock.fast_forward("14:00")
    page.locator("[name=right_right]").fill("1516")  # a hand on the page
    page.clock.fast_forward("14:00")
    view = page.locator("[data-lock]")
    expect(view).to_be_hidden()
    page.clock.fast_forward("02:00")
    expect(view).to_be_visible()
    expect(view).to_contain_text(NOOR.name)
    page.keyboard.press("Escape")
    expect(view).to_be_visible()
    press(page, "0000")
    view.get_by_role("button", name="Go on").click()
    expect(view).to_contain_text("pin is not that of Noor Brandt")
    press(page, NOOR.pin)
    view.get_by_role("button", name="Go on").click()
    expect(view).to_be_hidden()
    assert phone.at() == step
    expect(page.locator("[name=left_left]")).to_have_value("1506")
    expect(page.locator("[name=right_right]")).to_have_value("1516")


def test_a_paired_phone_asks_the_shop_and_its_own_pages_lock_like_the_shops(browser: KeptBrowser) -> None:
    browser.pair()
    browser.stock()
    page = browser.page
    page.goto("/badge")
    page.locator("#badge").fill(NOOR.label)
    page.locator("#badge").press("Enter")
    page.locator("#pin").fill("0000")
    page.locator("#pin").press("Enter")
    expect(page.get_by_role("alert")).to_contain_text("pin is not that of Noor Brandt")
    give_pin(page, NOOR)
    page.wait_for_url("**/")
    is_here(page, NOOR)
    page.goto("/kit")  # the shop's own page knows it, too
    is_here(page, NOOR)
    page.evaluate(UNUSED, 901)
    for path in ("/", "/kit"):
        page.goto(path)
        expect(page.get_by_text("This phone is locked")).to_be_visible()
        assert page.url.endswith(f"/badge?to={'%2F' if path == '/' else '%2Fkit'}")
    give_pin(page, NOOR)
    page.wait_for_url("**/kit")
    is_here(page, NOOR)


def test_a_job_goes_on_at_the_very_step_after_the_phone_was_locked(alone: Alone) -> None:
    page = alone.page
    alone.work("/square")
    page.locator("[name=left_left]").fill("1506")
    step, events = alone.at(), len(alone.journal()[1])
    page.evaluate(UNUSED, 901)
    alone.settle(lambda: page.locator("[data-main] button.main").first.click())
    view = page.locator("[data-lock]")
    expect(view).to_be_visible()
    press(page, NOOR.pin)
    view.get_by_role("button", name="Go on").click()
    expect(view).to_be_hidden()
    assert (alone.at(), len(alone.journal()[1])) == (step, events)
    expect(page.locator("[name=left_left]")).to_have_value("1506")
    page.evaluate(UNUSED, 901)
    page.goto(f"/jobs/{alone.job}/steps")
    give_pin(page, NOOR)
    page.wait_for_url("**/steps")
    page.goto(f"/jobs/{alone.job}")
    assert alone.at() == step


def test_a_pin_typed_without_the_shop_is_checked_later_and_a_wrong_one_stands_beside_the_work(
    browser: KeptBrowser, network: Wire, kit: dict[str, Any], photo: str
) -> None:
    browser.pair()
    browser.stock()
    page = browser.page
    phone = Alone(page, kit, photo)
    phone.badge(NOOR)
    shop.take_in(page, phone)
    page.reload()
    expect(page.locator("[data-truth=agree]")).to_be_visible(timeout=60_000)
    job = phone.job

    network.cut()
    begin(page, ILYA)
    expect(page.locator(".page-head .who")).to_have_text(f"{ILYA.name}, PIN to be checked")
    page.goto(f"/jobs/{job}")
    expect(page.locator("[data-provisional]")).to_contain_text("PIN to be checked")
    phone.main()
    network.heal()
    page.goto(f"/jobs/{job}")
    until(page, f"async () => (await ({UNCHECKED})()) === 0")
    page.goto("/")
    is_here(page, ILYA)

    network.cut()
    begin(page, Someone(NOOR.badge, NOOR.name, NOOR.role, "0000"))
    page.goto(f"/jobs/{job}")
    phone.main()
    network.heal()
    page.goto("/phone/kept")
    page.get_by_role("button", name="Send now").click()
    until(page, f"async () => (await ({UNCHECKED})()) === 0")
    page.goto("/badge")
    expect(page.get_by_role("alert")).to_contain_text(re.compile(r"Noor Brandt's PIN of \d\d:\d\d was wrong"))
    expect(page.locator(".page-head .who")).to_have_text("no badge scanned")
    begin(page, ADA)
    page.goto(f"/jobs/{job}")
    page.reload()
    expect(page.get_by_text("Begun with a wrong PIN")).to_be_attached(timeout=60_000)  # as this phone has it
    record = page.request.get(f"/jobs/{job}/record").text()
    assert "Begun with a wrong PIN" in record  # and the shop
