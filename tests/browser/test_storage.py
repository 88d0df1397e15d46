"""The phone's storage may be written by a newer app, or damaged: it says so, and gives out what can be read."""

import json
import os
import re
import subprocess
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, Playwright, expect

from webapp.core.fold import step_of

from ..cast import NOOR
from . import shop
from .alone import READ, Alone
from .kept import KeptBrowser
from .phone import Phone

pytestmark = pytest.mark.browser

NEWER = """() => new Promise((done, failed) => {
  const opening = indexedDB.open("baybook", 99);
  opening.onerror = () => failed(opening.error);
  opening.onsuccess = () => { opening.result.close(); done(); };
})"""

# What engines do where their user refuses to let a site keep data: everything that would is there, and throws.
REFUSING = """(() => {
  const refuse = () => { throw new DOMException("The user denied permission.", "SecurityError"); };
  Object.defineProperty(window, "indexedDB", { value: { open: refuse } });
  Object.defineProperty(window, "localStorage", { get: refuse });
})()"""


def test_a_storage_of_a_newer_app_is_left_alone_and_its_journal_can_still_be_saved(
    browser: KeptBrowser, alone: Alone
) -> None:
    browser.context.set_offline(True)
    alone.main()
    lines = [one["line"] for one in alone.read("events") if "unsent" in one]
    (me,) = browser.page.evaluate(READ, ["device", None])
    job = alone.job
    browser.page.evaluate(NEWER)
    browser.page.goto(f"/jobs/{job}")
    expect(browser.page.get_by_role("alert")).to_contain_text("written by a newer version of the app")
    with browser.page.expect_download() as saving:
        browser.page.get_by_text("Save the journal as a file").click()
    saved = saving.value.path().read_text().splitlines()
    assert json.loads(saved[0]) == {"journal": 1, "device": me["id"]}
    assert set(lines) <= set(saved[1:])


def test_a_damaged_storage_is_told_and_never_looks_like_an_empty_one(browser: KeptBrowser, alone: Alone) -> None:
    with browser.context.expect_event("close"):
        browser.kill()
    damaged = [path for path in Path(browser.profile).rglob("*.indexeddb.leveldb/*") if path.is_file()]
    assert damaged
    for path in damaged:
        path.write_bytes(b"\0not a database\0" * 64)
    browser.start()
    browser.page.goto("/")
    browser.page.goto("/phone/kept")
    expect(browser.page.get_by_role("alert")).to_contain_text(re.compile("its storage is gone|cannot be read"))
    browser.context.set_offline(True)
    browser.page.goto("/phone/kept")
    expect(browser.page.get_by_role("alert")).to_be_visible()


def test_a_connection_that_the_system_drops_is_opened_again_within_the_tap(browser: KeptBrowser, alone: Alone) -> None:
    before = len(alone.read("events"))
    other = browser.context.new_page()
    other.goto("chrome://indexeddb-internals")
    other.get_by_text("Force close").click()
    expect(other.locator(".connection-count").first).to_have_text("0")
    one_step(alone)
    assert len(alone.read("events")) == before + 1
    expect(browser.page.get_by_role("alert")).to_have_count(0)


def test_a_job_is_not_started_where_the_phone_has_no_room_for_it(
    browser: KeptBrowser, kit: dict[str, Any], photo: str
) -> None:
    browser.pair()
    browser.stock()
    phone, page = Alone(browser.page, kit, photo), browser.page
    phone.badge(NOOR.label)

    def crowded() -> None:
        """This Chromium says of every phone that 10 GB are free, so that nobody can be told by it; others do not."""
        (worker,) = browser.context.service_workers
        worker.evaluate("StorageManager.prototype.estimate = async () => ({ usage: 9e6, quota: 12e6 })")
        page.get_by_role("button", name="Start the job").click()
        refusal = "this job needs 30.0 MB on this phone and 3.0 MB are free: nothing was kept. Free some space first"
        expect(page.get_by_role("alert")).to_contain_text(refusal)
        assert not begun_here(page)
        worker.evaluate("StorageManager.prototype.estimate = async () => ({ usage: 9e6, quota: 12e9 })")

    shop.take_in(page, phone, crowded)  # nothing of the plan is lost: with room enough it starts
    assert begun_here(page) == {phone.job}


def begun_here(page: Page) -> set[str]:
    """The jobs of which this phone wrote an event itself; the shop's other open jobs come and go meanwhile."""
    (me,) = page.evaluate(READ, ["device", None])
    return {event["job"] for event in page.evaluate(READ, ["events", None]) if event["device"] == me["id"]}


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A folder on a disk of its own. Only root can make one."""
    folder = tmp_path / "small"
    folder.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=160m", "baybook", str(folder)]
    if os.geteuid() != 0 or subprocess.run(mount, check=False, capture_output=True).returncode != 0:
        pytest.skip("a disk of its own takes root, and a system that lets it mount one")
    yield folder
    subprocess.run(["umount", "--lazy", str(folder)], check=True)


def test_a_full_phone_is_told_keeps_nothing_half_and_goes_on_when_there_is_room(
    playwright: Playwright, server: str, small_disk: Path, kit: dict[str, Any], photo: str
) -> None:
    browser = KeptBrowser(playwright, small_disk / "profile", server)
    browser.pair()
    page, phone = browser.page, Alone(browser.page, kit, photo)
    phone.badge(NOOR.label)
    shop.take_in(page, phone)
    page.reload()
    expect(page.locator("[data-ready]")).to_be_visible()
    job, before, at = phone.job, phone.journal()[1], phone.at()

    ballast = small_disk / "ballast"
    fill(ballast)
    page.locator("[data-main] button.main").first.click()
    expect(page.get_by_role("alert")).to_contain_text("storage is full", timeout=120_000)
    ballast.unlink()
    page.goto(f"/jobs/{job}")
    assert (phone.at(), phone.journal()[1]) == (at, before)
    one_step(phone)
    assert len(phone.journal()[1]) == len(before) + 1
    browser.context.close()


def fill(ballast: Path) -> None:
    """Not a byte more fits on that disk."""
    with suppress(OSError), ballast.open("wb", buffering=0) as file:
        while True:
            file.write(bytes(65_536))
    with suppress(OSError), ballast.open("ab", buffering=0) as file:
        while True:
            file.write(b"0")


def test_where_a_browser_keeps_nothing_the_work_goes_on_at_the_shop_and_pairing_says_why(
    playwright: Playwright, server: str, tmp_path: Path, kit: dict[str, Any], photo: str
) -> None:
    browser = KeptBrowser(playwright, tmp_path / "profile", server)
    browser.context.add_init_script(REFUSING)
    browser.open_tab()
    page, phone = browser.page, Phone(browser.page, kit, photo)
    phone.badge(NOOR.label)
    page.goto("/phone/pair")
    page.locator("[name=code]").fill("AAAA-AAAA")
    page.locator("[name=name]").fill("Phone of bay 2")
    page.get_by_role("button", name="Pair this phone").click()
    expect(page.locator("[data-pair-refused]")).to_contain_text("this browser refuses to keep anything")
    page.goto("/")
    page.locator(".day-check button").click()
    page.locator("[data-step]").wait_for()
    at = phone.at()
    one_step(phone)
    assert phone.at() != at
    assert browser.troubles == []
    browser.context.close()


def one_step(phone: Phone) -> None:
    step = step_of(phone.journal()[0], phone.at() or "")
    assert step
    phone.do(step)
