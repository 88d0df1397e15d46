"""A phone speaks the language that is chosen on its pages, with the network cut too; the shop's own pages follow."""

import re

import pytest
from playwright.sync_api import Page, expect

from webapp.library.tongues import tongues
from webapp.messages import Tongue, speak
from webapp.paths import PROCEDURES

from .alone import READ, Alone
from .kept import KeptBrowser
from .until import until

pytestmark = pytest.mark.browser

TRUTH = re.compile(r'<a class="truth.*?</a>')
"""Whether both sides had told each other so already when the network was cut."""


def choose(page: Page, name: str) -> None:
    with page.expect_navigation():
        page.get_by_role("button", name=name, exact=True).click()


def test_a_phone_speaks_another_language_with_the_network_cut_and_the_shops_pages_follow(
    browser: KeptBrowser, alone: Alone
) -> None:
    page, job = browser.page, alone.job
    until(page, f"async () => (await ({READ})(['shelf', null])).some(({{ name }}) => name === 'texts-es')")
    browser.context.set_offline(True)
    page.goto(f"/jobs/{job}/more")
    expect(page.locator("html")).to_have_attribute("lang", "en")
    choose(page, "Español")
    expect(page.locator("html")).to_have_attribute("lang", "es")

    # The step itself, in words that came with the shelf; and the same when the phone's battery was flat.
    expect(page.locator("h2.do")).to_contain_text("Dé una vuelta al vehículo")
    assert TRUTH.sub("", alone.html()) == TRUTH.sub("", _by_the_server(alone))
    spanish = page.locator("h2.do").inner_text()
    browser.restart()
    browser.context.set_offline(True)
    alone.page = page = browser.page
    page.goto(f"/jobs/{job}")
    expect(page.locator("h2.do")).to_have_text(spanish)
    alone.settle(page.locator("button.option").first.click)
    assert TRUTH.sub("", alone.html()) == TRUTH.sub("", _by_the_server(alone))

    # What the phone keeps is the same whoever reads it, and English is there again as soon as it is asked for.
    assert alone.journal()[1][-1].data["option"] == "sound"
    page.goto("/")
    expect(page.locator("main h1")).to_have_text("Hoy")
    choose(page, "English")
    expect(page.locator("main h1")).to_have_text("Today")
    choose(page, "Español")

    # The shop hears of it before it is asked for a page of its own.
    browser.context.set_offline(False)
    page.reload()
    expect(page.locator("[data-truth=agree], [data-truth=sent]")).to_be_visible(timeout=60_000)
    page.goto("/kit")
    expect(page.locator("html")).to_have_attribute("lang", "es")


def _by_the_server(alone: Alone) -> str:
    """The job's page as the server gives it to somebody who reads Spanish."""
    spanish = tongues(PROCEDURES)["es"]
    speak(spanish)
    try:
        return alone.html_of_server()
    finally:
        speak(Tongue())
