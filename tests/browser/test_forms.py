"""A paired phone takes no form without the token of its own pages, and what was typed stands there still."""

import pytest
from playwright.sync_api import expect

from ..cast import NOOR
from .alone import READ, Alone
from .kept import KeptBrowser
from .phone import give_pin

pytestmark = pytest.mark.browser

SPOIL = """() => {
  for (const field of document.querySelectorAll('input[name="token"]')) field.value = "A".repeat(22);
}"""

FORGET = """() => new Promise((done, failed) => {
  const opening = indexedDB.open("baybook");
  opening.onerror = () => failed(opening.error);
  opening.onsuccess = () => {
    const writing = opening.result.transaction("shelf", "readwrite");
    writing.objectStore("shelf").delete("token");
    writing.oncomplete = () => { opening.result.close(); done(); };
  };
})"""


def test_a_forged_form_does_nothing_on_a_phone_alone_and_loses_nothing(browser: KeptBrowser, alone: Alone) -> None:
    page = browser.page
    browser.context.set_offline(True)
    before = alone.journal()[1]
    page.goto(f"/jobs/{alone.job}/more")
    page.evaluate(SPOIL)
    page.locator("#note").fill("Bolt was loose")
    page.locator("form", has=page.locator("#note")).get_by_role("button").click()
    expect(page.locator("div.refused")).to_contain_text("this form is too old")
    expect(page.locator("#note")).to_have_value("Bolt was loose")
    assert alone.journal()[1] == before
    page.locator("form", has=page.locator("#note")).get_by_role("button").click()
    expect(page.locator("div.refused")).to_have_count(0)
    (noted,) = alone.journal()[1][len(before) :]
    assert noted.data["text"] == "Bolt was loose"
    assert "token" not in str(noted)


def test_before_a_job_too_what_was_typed_is_offered_once_more(browser: KeptBrowser, alone: Alone) -> None:
    page = browser.page
    browser.context.set_offline(True)
    page.goto("/jobs/new")
    page.evaluate(SPOIL)
    page.locator("#vin").fill("0RVWA4G2XK1000419")
    page.locator("#vin").press("Enter")
    expect(page.get_by_role("heading", name="Send it once more")).to_be_visible()
    expect(page.get_by_text("0RVWA4G2XK1000419")).to_be_visible()
    page.get_by_role("button", name="Send again").click()
    page.wait_for_url("**/intake**")


def test_a_page_of_the_shops_is_taken_on_a_phone_that_has_lost_the_token(browser: KeptBrowser, alone: Alone) -> None:
    page = browser.page
    page.goto("/badge")
    page.evaluate(FORGET)
    browser.stop_workers()  # with what it had in mind
    assert "token" not in [one["name"] for one in page.evaluate(READ, ["shelf", None])]
    page.locator("[data-wedge]").fill(NOOR.label)
    page.locator("[data-wedge]").press("Enter")
    give_pin(page, NOOR)
    page.wait_for_url("**/")
