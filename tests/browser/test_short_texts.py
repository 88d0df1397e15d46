"""The short text of a step on a phone alone: chosen with one tap, kept through a flat battery, told to the shop."""

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from webapp.storage import people
from webapp.storage.engine import engine, session, writing

from ..cast import NOOR
from .alone import PANELS, READ, Alone
from .kept import KeptBrowser
from .phone import Phone
from .shop import take_in
from .test_aloud import NOW, VOICES
from .test_language import TRUTH
from .until import until

pytestmark = pytest.mark.browser

SHORT = "Once round; look for damage and stickers."
FULL = "Walk once round the vehicle; look for damage and stickers near every sensor."


def in_short(phone: Phone) -> None:
    phone.settle(phone.page.get_by_role("button", name="Read this part in short").click)


def in_full(phone: Phone) -> None:
    phone.settle(phone.page.get_by_role("button", name="Read this part in full").click)


def at_shop(shop_folder: Path) -> tuple[str, ...]:
    """What the shop's database has of Noor."""
    made = engine(f"sqlite:///{shop_folder / 'baybook.db'}")
    with session(made) as db:
        found = people.read_of(people.person(db, NOOR.badge).short)
    made.dispose()
    return found


def say_at_shop(shop_folder: Path, *short: str) -> None:
    made = engine(f"sqlite:///{shop_folder / 'baybook.db'}")
    with writing(made) as db:
        people.change_person(db, NOOR.badge, name=NOOR.name, role=NOOR.role, active=True, short=short)
    made.dispose()


def shelf(page: Page) -> dict[str, Any]:
    return {one["name"]: one for one in page.evaluate(READ, ["shelf", None])}


def test_the_short_text_is_chosen_with_the_network_cut_and_the_shop_hears_of_it(
    browser: KeptBrowser, alone: Alone, shop_folder: Path
) -> None:
    page = browser.page
    before = alone.journal()[1]
    browser.context.set_offline(True)
    expect(page.locator("h2.do")).to_have_text(FULL)
    in_short(alone)
    expect(page.locator("h2.do")).to_have_text(SHORT)
    for panel in ("", *PANELS):
        here = alone.html(f"/{panel}" if panel else "")
        assert TRUTH.sub("", here) == TRUTH.sub("", alone.html_of_server(panel))
    page.get_by_text("In full", exact=True).click()
    expect(page.get_by_text(FULL)).to_be_visible()
    assert alone.journal()[1] == before
    assert at_shop(shop_folder) == ()

    # The battery dies. What was chosen is there again, and counts for the steps that follow.
    browser.restart()
    browser.context.set_offline(True)
    alone.page = page = browser.page
    page.goto(f"/jobs/{before[0].job}")
    expect(page.locator("h2.do")).to_have_text(SHORT)

    # What is typed and not yet sent stays where the texts are changed.
    alone.work(until="/tyre-pressures")
    page.locator("[name=tyre_front_left]").fill("23")
    in_full(alone)
    expect(page.locator("[name=tyre_front_left]")).to_have_value("23")
    in_short(alone)
    expect(page.locator("[name=tyre_front_left]")).to_have_value("23")
    # It may have sent some of it in the moment before the network was cut again.
    assert TRUTH.sub("", alone.html()) == TRUTH.sub("", alone.html_of_server())

    browser.context.set_offline(False)
    page.reload()
    expect(page.locator("[data-truth=agree]")).to_be_visible(timeout=60_000)
    assert at_shop(shop_folder) == ("vehicle-ready",)
    assert shelf(page)["choices"]["untold"] == []

    # A supervisor says otherwise at the shop, and the phone goes by that.
    say_at_shop(shop_folder)
    page.evaluate("navigator.serviceWorker.controller.postMessage('sync')")
    until(
        page,
        f"async () => (await ({READ})(['shelf', null])).some((one) => one.name === 'who' && !one.person.short.length)",
    )
    page.reload()
    expect(page.get_by_role("button", name="Read this part in short")).to_be_visible()


def test_what_is_read_aloud_is_what_is_shown(page: Page, phone: Phone) -> None:
    page.add_init_script(VOICES)
    phone.badge(NOOR)
    take_in(page, phone)
    in_short(phone)
    page.get_by_role("button", name="Read aloud").click()
    texts = [text for text, _voice in page.evaluate(NOW)]
    assert texts[0] == SHORT
    assert FULL not in texts
    page.get_by_role("button", name="Read aloud").click()
    page.get_by_text("In full", exact=True).click()
    page.get_by_role("button", name="Read aloud").click()
    assert [text for text, _voice in page.evaluate(NOW)][:2] == [SHORT, FULL]
    phone.paint(page.get_by_role("button", name="Read this part in full").click)
    assert page.evaluate(NOW) == []
