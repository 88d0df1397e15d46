"""The app's files may get lost on a phone: a page is answered all the same, and they are fetched again."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, Playwright, expect

from .alone import Alone
from .kept import KeptBrowser
from .wire import Wire

pytestmark = pytest.mark.browser

LOSE_FILES = """async () => {
  for (const name of await caches.keys()) if (name.startsWith("baybook-")) await caches.delete(name);
}"""
HAS_FILES = """async () => {
  while (!(await caches.match("/app.json"))) await new Promise((go) => setTimeout(go, 20));
}"""


@pytest.fixture
def browser(playwright: Playwright, network: Wire, tmp_path: Path) -> Iterator[KeptBrowser]:
    kept = KeptBrowser(playwright, tmp_path / "profile", network.address)
    yield kept
    kept.context.close()
    assert kept.troubles == []


def lose_files(browser: KeptBrowser, network: Wire) -> None:
    """The system takes them, and the memory of the worker; and the shop is out of reach."""
    network.cut()
    browser.page.evaluate(LOSE_FILES)
    browser.stop_workers()


def shown(page: Page, name: str) -> None:
    expect(page.get_by_role("heading", name=name)).to_be_visible()


def test_without_its_files_a_page_is_answered_still_and_the_journal_can_be_saved(
    browser: KeptBrowser, alone: Alone, network: Wire
) -> None:
    page, path = browser.page, f"/jobs/{alone.job}"
    alone.main()
    mine = [one["line"] for one in alone.read("events") if one["device"] != "server"]
    assert mine
    lose_files(browser, network)
    for lost in (path, f"{path}/steps", "/", "/phone/kept"):
        answer = page.goto(lost)
        assert answer
        assert answer.status == 500
        shown(page, "This page could not be made")
    with page.expect_download() as saving:
        page.get_by_role("link", name="Save the journal as a file").click()
    assert set(mine) <= set(saving.value.path().read_text().splitlines())

    # Where the shop is in reach again the same page comes, and soon it needs no shop any more.
    network.heal()
    page.goto(path)
    page.locator("[data-step]").wait_for()
    page.evaluate(HAS_FILES)
    network.cut()
    browser.stop_workers()
    page.goto(f"{path}/steps")
    shown(page, "All steps")


def test_a_tap_without_an_answer_says_so_and_keeps_what_was_typed(
    browser: KeptBrowser, alone: Alone, network: Wire
) -> None:
    page, note = browser.page, "The left tyre is worn."
    told = page.locator("[data-unanswered]")
    page.goto(f"/jobs/{alone.job}/more")
    page.get_by_label("note").fill(note)
    lose_files(browser, network)
    page.get_by_role("button", name="Keep the note").click()
    expect(told).to_contain_text("There was no answer")
    expect(page.get_by_label("note")).to_have_value(note)
    assert not [one for one in alone.journal()[1] if one.kind == "noted"]

    network.heal()
    told.get_by_role("button").click()
    page.locator("[data-step]").wait_for()
    expect(told).to_be_hidden()
    assert [one.data["text"] for one in alone.journal()[1] if one.kind == "noted"] == [note]
