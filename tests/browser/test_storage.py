"""The phone's storage may be written by a newer app, or damaged: it says so, and gives out what can be read."""

import json
import re
from pathlib import Path

import pytest
from playwright.sync_api import expect

from .alone import READ, Alone
from .kept import KeptBrowser

pytestmark = pytest.mark.browser

NEWER = """() => new Promise((done, failed) => {
  const opening = indexedDB.open("baybook", 99);
  opening.onerror = () => failed(opening.error);
  opening.onsuccess = () => { opening.result.close(); done(); };
})"""


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
