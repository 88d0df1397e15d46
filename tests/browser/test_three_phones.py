"""Three phones of one shop: an apprentice's, a supervisor's and the manager's desk, at one hold point."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, Playwright, expect

from webapp.core.labels import Label, label_text

from ..cast import ADA, ILYA, NOOR, TOMAS
from . import shop
from .alone import Alone
from .kept import KeptBrowser
from .phone import begin
from .until import SYNC, until
from .wire import Wire

pytestmark = pytest.mark.browser

# Whether the phone holds that the step at hand waits, or was sent back: asked for as its own server answers.
SHOWS = """async ([path, text]) => {
  navigator.serviceWorker.controller.postMessage("sync");
  return (await (await fetch(path)).text()).includes(text);
}"""


@pytest.fixture
def apprentice(playwright: Playwright, server: str, tmp_path: Path) -> Iterator[KeptBrowser]:
    yield from _phone(playwright, server, tmp_path / "apprentice")


@pytest.fixture
def supervisor(playwright: Playwright, server: str, tmp_path: Path) -> Iterator[KeptBrowser]:
    yield from _phone(playwright, server, tmp_path / "supervisor")


@pytest.fixture
def manager(chromium: Browser, server: str) -> Iterator[Page]:
    context = chromium.new_context(viewport={"width": 1280, "height": 900}, base_url=server, locale="en-GB")
    page = context.new_page()
    begin(page, TOMAS)
    yield page
    context.close()


def _phone(playwright: Playwright, server: str, profile: Path) -> Iterator[KeptBrowser]:
    kept = KeptBrowser(playwright, profile, server)
    kept.pair()
    kept.stock()
    yield kept
    kept.context.close()
    assert kept.troubles == []


def test_a_hold_point_is_sent_back_once_and_then_accepted_on_the_supervisors_own_phone(
    apprentice: KeptBrowser, supervisor: KeptBrowser, manager: Page, kit: dict[str, Any], photo: str
) -> None:
    learner = Alone(apprentice.page, kit, photo)
    learner.badge(ILYA)
    shop.take_in(apprentice.page, learner)
    apprentice.page.reload()
    learner.work("reference-axis/chock")
    learner.main()
    expect(apprentice.page.locator(".hold")).to_be_visible()
    job = learner.job

    page = supervisor.page
    begin(page, ADA)
    until(page, SHOWS, ["/", "A step waits for you"])
    page.goto("/")
    page.get_by_role("link", name="A step waits for you").click()
    page.get_by_role("link", name=re.compile(ILYA.name)).click()
    page.wait_for_url(f"**/jobs/{job}")
    expect(page.get_by_role("button", name="Accept")).to_be_visible()
    assert page.locator("[name=badge]").count() == 0
    page.get_by_text("Send it back").first.click()
    page.locator("#return").fill("The left chock is loose.")
    page.get_by_role("button", name="Send it back").click()
    expect(page.locator("[data-returned]")).to_contain_text("The left chock is loose.")

    until(apprentice.page, SHOWS, [f"/jobs/{job}", "The left chock is loose."])
    apprentice.page.goto(f"/jobs/{job}")
    expect(apprentice.page.locator("[data-returned]")).to_contain_text("The left chock is loose.")
    learner.main()
    expect(apprentice.page.locator(".hold")).to_be_visible()

    until(page, SHOWS, [f"/jobs/{job}", "Accept"])
    page.goto(f"/jobs/{job}")
    page.get_by_role("button", name="Accept").click()
    expect(page.locator(".hold")).to_have_count(0)
    onwards = page.locator("[data-step]").get_attribute("data-step")
    assert onwards != "reference-axis/chock"
    until(apprentice.page, SHOWS, [f"/jobs/{job}", f'data-step="{onwards}"'])

    manager.goto(f"/jobs/{job}/record")
    record = manager.locator("main")
    expect(record).to_contain_text("The left chock is loose.")
    expect(record).to_contain_text(ADA.name)
    assert manager.get_by_text("Look at this", exact=False).count() == 0
    assert label_text(Label("badge", ILYA.badge)) not in manager.content()


def test_a_job_waits_for_the_shop_before_it_ends_on_a_countersign_that_nobody_has_checked(
    playwright: Playwright, network: Wire, tmp_path: Path, kit: dict[str, Any], photo: str
) -> None:
    kept = KeptBrowser(playwright, tmp_path / "alone", f"http://127.0.0.1:{network.port}")
    kept.pair()
    kept.stock()
    page, phone = kept.page, Alone(kept.page, kit, photo)
    phone.badge(NOOR)
    shop.take_in(page, phone)
    page.reload()
    expect(page.locator("[data-truth=agree]")).to_be_visible(timeout=60_000)
    job = phone.job
    phone.work("hand-over/release")
    network.cut()
    phone.countersign()
    waits = page.locator("[data-waits]")
    expect(waits).to_contain_text("A countersign is still to be checked by the shop")
    expect(page.get_by_role("button", name="Finish the job")).to_have_count(0)
    page.wait_for_load_state()
    page.evaluate("window.stays = true")
    for _ in range(3):
        page.evaluate(SYNC)  # an attempt that fails changes nothing that waits: the page is not opened anew for it
    assert page.evaluate("window.stays")
    answer = page.evaluate(
        """async (path) => {
          const body = new FormData(document.querySelector("[data-finish] form"));
          return (await fetch(path, { method: "POST", body })).status;
        }""",
        f"/jobs/{job}",
    )
    assert answer == 403
    network.heal()
    page.reload()
    expect(waits).to_have_count(0, timeout=60_000)
    page.get_by_role("button", name="Finish the job").click()
    expect(page.get_by_text("This job is finished.")).to_be_visible()
    kept.context.close()
    assert kept.troubles == []
