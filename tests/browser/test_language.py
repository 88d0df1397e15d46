"""A phone speaks the language that is chosen on its pages, with the network cut too."""

import re

import pytest
from playwright.sync_api import Page, expect

from webapp.library.tongues import tongues
from webapp.messages import Tongue, speak
from webapp.paths import PROCEDURES

from .alone import READ, Alone
from .kept import KeptBrowser

pytestmark = pytest.mark.browser

TRUTH = re.compile(r'<a class="truth.*?</a>')
"""Whether both sides had told each other so already when the network was cut."""


def choose(page: Page, name: str) -> None:
    with page.expect_navigation():
        page.get_by_role("button", name=name, exact=True).click()


def test_a_phone_speaks_another_language_with_the_network_cut(browser: KeptBrowser, alone: Alone) -> None:
    page = browser.page
    page.wait_for_function(f"async () => (await ({READ})(['shelf', null])).some(({{ name }}) => name === 'texts-es')")
    browser.context.set_offline(True)
    page.goto(f"/jobs/{alone.job}/more")
    expect(page.locator("html")).to_have_attribute("lang", "en")
    choose(page, "Español")
    expect(page.locator("html")).to_have_attribute("lang", "es")

    # The step itself, in words that came with the shelf.
    expect(page.locator("h2.do")).to_contain_text("Dé una vuelta al vehículo")
    assert TRUTH.sub("", alone.html()) == TRUTH.sub("", _by_the_server(alone))


def _by_the_server(alone: Alone) -> str:
    """The job's page as the server gives it to somebody who reads Spanish."""
    spanish = tongues(PROCEDURES)["es"]
    speak(spanish)
    try:
        return alone.html_of_server()
    finally:
        speak(Tongue())
