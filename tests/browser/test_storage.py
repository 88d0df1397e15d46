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

from webapp.core.events import Event
from webapp.core.fold import step_of

from ..cast import NOOR, TOMAS
from . import shop
from .alone import READ, Alone
from .kept import KeptBrowser
from .phone import Phone
from .until import until

pytestmark = pytest.mark.browser

NEWER = """() => new Promise((done, failed) => {
  const opening = indexedDB.open("baybook", 99);
  opening.onerror = () => failed(opening.error);
  opening.onsuccess = () => { opening.result.close(); done(); };
})"""

# The second copy holds exactly these lines.
COPIED = """async (lines) => {
  const copy = await caches.open("second-copy");
  const events = (await copy.keys()).filter(({ url }) => url.includes("/events/"));
  const held = await Promise.all(events.map(async (one) => (await copy.match(one)).text()));
  return held.length === lines.length && lines.every((line) => held.includes(line));
}"""
COPIED_PHOTO = """async (sha256) => {
  const copy = await caches.open("second-copy");
  return (await copy.keys()).some(({ url }) => url.endsWith(sha256));
}"""

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
    damage(browser)
    browser.start()
    browser.page.goto("/")
    browser.page.goto("/phone/kept")
    expect(browser.page.get_by_role("alert")).to_contain_text(re.compile("its storage is gone|cannot be read"))
    browser.context.set_offline(True)
    browser.page.goto("/phone/kept")
    expect(browser.page.get_by_role("alert")).to_be_visible()


def damage(browser: KeptBrowser) -> None:
    """Write over every file of the database."""
    with browser.context.expect_event("close"):
        browser.kill()
    damaged = [path for path in Path(browser.profile).rglob("*.indexeddb.leveldb/*") if path.is_file()]
    assert damaged
    for path in damaged:
        path.write_bytes(b"\0not a database\0" * 64)


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
    phone.badge(NOOR)

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
    phone.badge(NOOR)
    shop.take_in(page, phone)
    page.reload()
    expect(page.locator("[data-truth=agree]")).to_be_visible(timeout=60_000)  # nothing else is written by and by
    browser.context.set_offline(True)
    phone.main()
    job, unsent = phone.job, unsent_of(phone)
    until(page, COPIED, unsent)

    ballast = small_disk / "ballast"
    before, at = crowd_out(phone, ballast)
    expect(page.get_by_role("alert")).to_contain_text(re.compile("storage is (full|gone)"))
    ballast.unlink()
    assert set(unsent) <= set(journal_saved(page))
    page.goto(f"/jobs/{job}")
    if page.locator("[data-step]").count():  # the engine has not thrown its database away
        assert (phone.at(), phone.journal()[1]) == (at, before)
        one_step(phone)
        assert len(phone.journal()[1]) == len(before) + 1
    browser.context.close()


def test_what_was_unsent_outlives_the_loss_of_the_whole_storage(browser: KeptBrowser, alone: Alone) -> None:
    browser.context.set_offline(True)
    alone.work(until="/secured")
    (photo,) = alone.read("photos")
    (me,) = browser.page.evaluate(READ, ["device", None])
    job, unsent = alone.job, unsent_of(alone)
    until(browser.page, COPIED, unsent)
    until(browser.page, COPIED_PHOTO, photo["sha256"])
    damage(browser)
    browser.start()
    browser.context.set_offline(True)
    browser.page.goto("/phone/kept")
    expect(browser.page.get_by_role("alert")).to_contain_text("lies in a second copy on this phone")
    lines = journal_saved(browser.page)
    assert json.loads(lines[0]) == {"journal": 1, "device": me["id"]}
    assert lines[1 : len(unsent) + 1] == unsent
    assert json.loads(lines[-1])["photo"] == photo["sha256"]

    browser.context.set_offline(False)
    browser.pair()
    Phone(browser.page, {}, "").badge(TOMAS)
    browser.page.goto("/people")
    file = {"name": "journal.jsonl", "mimeType": "text/plain", "buffer": "\n".join(lines).encode()}
    token = browser.page.request.get("/phone/token").json()["token"]
    brought = browser.page.request.post("/sync/imports", multipart={"token": token, "journal": file}).json()
    assert (brought["photos"], brought["unread"]) == ([photo["sha256"]], [])
    theirs = browser.page.request.get(f"/jobs/{job}/journal.jsonl").text()
    assert [one for one in unsent if json.loads(one)["id"] not in theirs] == []

    browser.page.goto("/phone/kept")
    browser.page.get_by_text("The shop has brought it in").click()
    browser.page.get_by_role("button", name="Remove this copy").click()
    browser.page.wait_for_load_state()
    expect(browser.page.get_by_text("Saved from a storage that was lost")).to_have_count(0)


def test_what_the_shop_has_is_in_no_second_copy(browser: KeptBrowser, alone: Alone) -> None:
    browser.context.set_offline(True)
    alone.main()
    unsent = unsent_of(alone)
    until(browser.page, COPIED, unsent)
    browser.context.set_offline(False)
    browser.page.goto("/phone/kept")
    browser.page.get_by_role("button", name="Send now").click()
    expect(browser.page.locator(".lead")).to_have_text("Everything is with the shop.")
    until(browser.page, COPIED, [])


def unsent_of(phone: Alone) -> list[str]:
    """The lines that only this phone has, in the order in which they were written."""
    events = [one for one in phone.read("events") if "unsent" in one]
    return [one["line"] for one in sorted(events, key=lambda one: one["seq"])]


def journal_saved(page: Page) -> list[str]:
    """The lines of the file that this phone gives out, wherever its page offers it."""
    if not page.locator("[data-save]").count():
        page.goto("/phone/kept")
    with page.expect_download() as saving:
        page.locator("[data-save]").first.click()
    return saving.value.path().read_text().splitlines()


def crowd_out(phone: Alone, ballast: Path) -> tuple[list[Event], str | None]:
    """Fill the disk until a tap is refused: the job's journal and its step before that tap.

    A browser that tidies its own files makes room on a disk that was full a moment ago, and then a tap is kept.
    """
    for _ in range(5):
        before, at = phone.journal()[1], phone.at()
        fill(ballast)
        phone.page.locator("[data-main] button").first.click()
        alert = phone.page.get_by_role("alert")
        expect(alert.or_(phone.page.locator(f'[data-step]:not([data-step="{at}"])')).first).to_be_visible()
        if alert.count():
            return before, at
    raise AssertionError("five taps were kept on a disk that was filled before each")


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
    phone.badge(NOOR)
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
