"""What lies on the phone is told truly, on a page that needs no network, and comes out as a file."""

import json
import re
from datetime import UTC, datetime
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from webapp.storage import devices
from webapp.storage.engine import engine, writing
from webapp.storage.moments import instant

from ..cast import TOMAS
from .alone import READ, Alone
from .kept import KeptBrowser, pair
from .phone import begin

pytestmark = pytest.mark.browser


def expect_truth(phone: Alone, word: str) -> None:
    expect(phone.page.locator(f"a[data-truth={word}]")).to_be_visible()


def test_a_private_window_is_told_that_nothing_of_it_stays(page: Page) -> None:
    """This browser context is off the record, as a private window is."""
    pair(page)
    page.goto("/phone/kept")
    told = page.get_by_text("The browser has not promised to keep this")
    expect(told).to_contain_text("In a private window everything")
    page.get_by_role("button", name="Ask the browser to keep it").click()
    expect(page.locator("[data-persist-refused]")).to_be_visible()


def test_the_page_of_what_is_unsent_says_why_and_sends_when_asked(browser: KeptBrowser, alone: Alone) -> None:
    browser.context.set_offline(True)
    alone.work(until="/secured")
    events = sum("unsent" in one for one in alone.read("events"))
    (_photo,) = alone.read("photos")
    expect_truth(alone, "kept")

    alone.page.locator("a[data-truth]").click()
    alone.page.get_by_role("button", name="Send now").click()
    expect(alone.page.get_by_role("alert")).to_contain_text(re.compile("no network|cannot be reached"))
    expect(alone.page.locator(".jobs .where").first).to_have_text(
        re.compile(rf"^{events} entries · photo, \d+\.\d MB$")
    )
    expect_truth(alone, "kept")

    browser.context.set_offline(False)
    alone.page.get_by_role("button", name="Send now").click()
    expect(alone.page.locator(".lead")).to_have_text("Everything is with the shop.")
    expect(alone.page.locator("[data-sending]")).to_have_count(0)
    expect(alone.page.get_by_role("alert")).to_have_count(0)
    expect_truth(alone, "agree")


def test_a_phone_that_was_turned_away_says_so_and_its_journal_comes_home_as_a_file(
    browser: KeptBrowser, alone: Alone, shop_folder: Path, page: Page
) -> None:
    job = alone.job
    browser.context.set_offline(True)
    alone.work(until="/secured")
    known = alone.journal()[1]
    (photo,) = alone.read("photos")
    (me,) = browser.page.evaluate(READ, ["device", None])
    made = engine(f"sqlite:///{shop_folder / 'baybook.db'}")
    with writing(made) as db:
        devices.revoke(db, me["id"], TOMAS.badge, instant(datetime.now(UTC)))
    made.dispose()

    browser.context.set_offline(False)
    browser.page.goto("/phone/kept")
    browser.page.get_by_role("button", name="Send now").click()
    expect(browser.page.get_by_role("alert")).to_contain_text("A manager has turned this phone away")
    with browser.page.expect_download() as saving:
        browser.page.get_by_text("Save the journal as a file").click()
    text = saving.value.path().read_text()
    assert json.loads(text.partition("\n")[0]) == {"journal": 1, "device": me["id"]}

    begin(page, TOMAS)  # in another browser: with this phone nobody begins any more
    file = {"name": "journal.jsonl", "mimeType": "text/plain", "buffer": text.encode()}
    token = page.request.get("/phone/token").json()["token"]
    brought = page.request.post("/sync/imports", multipart={"token": token, "journal": file}).json()
    assert (brought["photos"], brought["unread"]) == ([photo["sha256"]], [])
    theirs = page.request.get(f"/jobs/{job}/journal.jsonl").text()
    assert {one.id for one in known if one.id not in theirs} == set()
    assert page.request.get(f"/photos/{photo['sha256']}.jpg").status == 200
