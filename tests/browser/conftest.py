"""What the browser tests start from: a real server with the demo shop, a real Chromium, a phone."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, Playwright, expect, sync_playwright

from ..cast import NOOR, TOMAS
from . import shop
from .alone import Alone
from .kept import KeptBrowser
from .phone import Phone, begin
from .wire import Wire


@pytest.fixture(scope="session")
def shop_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("shop")


@pytest.fixture(scope="session")
def server(shop_folder: Path) -> Iterator[str]:
    """The address of the demo shop, served without a history."""
    with shop.serving(shop_folder, shop.quick_procedures(shop_folder / "procedures")) as address:
        yield address


@pytest.fixture(scope="session")
def kit(server: str, shop_folder: Path) -> dict[str, Any]:
    return shop.kit(shop_folder)


@pytest.fixture(scope="session")
def photo(tmp_path_factory: pytest.TempPathFactory) -> str:
    return shop.photo(tmp_path_factory.mktemp("photo"))


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    """The one driver of browsers: a second beside it in the same process would not start."""
    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="session")
def chromium(playwright: Playwright) -> Iterator[Browser]:
    browser = playwright.chromium.launch(executable_path=shop.CHROMIUM, args=shop.FLAGS)
    yield browser
    browser.close()


@pytest.fixture
def address(server: str) -> str:
    """Where `page` finds the shop; a module may put a network in between."""
    return server


@pytest.fixture
def page(chromium: Browser, address: str) -> Iterator[Page]:
    """A phone's browser on the shop's pages. A script's error, or a refusal by the content policy, fails the test."""
    context = chromium.new_context(viewport=shop.PHONE, base_url=address, locale="en-GB")
    context.set_default_timeout(30_000)
    opened = context.new_page()
    troubles: list[str] = []
    opened.on("pageerror", lambda error: troubles.append(str(error)))
    opened.on("console", lambda said: troubles.append(said.text) if "Content Security Policy" in said.text else None)
    yield opened
    context.close()
    assert troubles == []


@pytest.fixture
def manager(chromium: Browser, server: str) -> Iterator[Page]:
    """The manager's desk, with their badge scanned there."""
    context = chromium.new_context(viewport={"width": 1280, "height": 900}, base_url=server, locale="en-GB")
    opened = context.new_page()
    begin(opened, TOMAS)
    yield opened
    context.close()


@pytest.fixture
def phone(page: Page, kit: dict[str, Any], photo: str) -> Phone:
    return Phone(page, kit, photo)


@pytest.fixture
def browser(playwright: Playwright, server: str, tmp_path: Path) -> Iterator[KeptBrowser]:
    """A browser whose profile stays, for one phone."""
    kept = KeptBrowser(playwright, tmp_path / "profile", server)
    yield kept
    kept.context.close()
    assert kept.troubles == []


@pytest.fixture
def alone(browser: KeptBrowser, kit: dict[str, Any], photo: str) -> Alone:
    """A paired phone at the first step of a job that it can work alone."""
    browser.pair()
    phone = Alone(browser.page, kit, photo)
    phone.badge(NOOR)
    shop.take_in(browser.page, phone)
    browser.page.reload()
    expect(browser.page.locator("[data-truth=agree]")).to_be_visible(timeout=60_000)  # the shop knows of the job, too
    return phone


@pytest.fixture
def network(server: str) -> Iterator[Wire]:
    """The way to the shop, which can be cut; the shop is the module's own where it has one."""
    wire = Wire(int(server.rpartition(":")[2]))
    yield wire
    wire.close()
