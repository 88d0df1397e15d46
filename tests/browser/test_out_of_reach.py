"""A page that only the shop has, where the network is up and carries nothing, as between steel and concrete."""

from contextlib import closing
from pathlib import Path

import pytest
from playwright.sync_api import Playwright, expect

from . import shop
from .kept import STOCKED, KeptBrowser
from .wire import Wire

pytestmark = pytest.mark.browser


# Keeps what a tap looked like beyond the page that it was made on.
WATCH = """() => {
  const look = ([{ target }]) => { sessionStorage.taken = target.textContent; };
  new MutationObserver(look).observe(document.body, { subtree: true, attributeFilter: ["data-sent"] });
}"""


def test_a_shop_that_says_nothing_is_out_of_reach_after_a_while(playwright: Playwright, tmp_path: Path) -> None:
    with (
        shop.serving(tmp_path / "shop", shop.quick_procedures(tmp_path / "procedures")) as address,
        closing(Wire(int(address.rpartition(":")[2]))) as network,
    ):
        browser = KeptBrowser(playwright, tmp_path / "profile", network.address)
        browser.pair()
        page = browser.page
        page.evaluate(STOCKED)
        network.hold()
        page.evaluate(WATCH)
        page.get_by_role("link", name="Times").click(no_wait_after=True)
        page.wait_for_url("**/times")
        expect(page.get_by_role("heading", name="Out of reach")).to_be_visible()
        assert page.evaluate("sessionStorage.taken") == "Times"
        page.goto("/")
        expect(page.get_by_role("heading", name="Today")).to_be_visible()
        network.heal()
        page.goto("/times")
        expect(page.get_by_role("heading", name="Times", exact=True)).to_be_visible()
        browser.context.close()
        assert browser.troubles == []
