"""Three phones of one shop: an apprentice's, a supervisor's and the manager's desk, at one hold point."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, Playwright, expect

from webapp.core.labels import Label, label_text

from ..cast import ADA, ILYA, NOOR
from . import shop
from .alone import Alone
from .kept import KeptBrowser, stocked
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
    with stocked(playwright, tmp_path / "apprentice", server) as kept:
        yield kept


@pytest.fixture
def supervisor(playwright: Playwright, server: str, tmp_path: Path) -> Iterator[KeptBrowser]:
    with stocked(playwright, tmp_path / "supervisor", server) as kept:
        yield kept


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


@pytest.fixture
def on_wire(playwright: Playwright, network: Wire, tmp_path: Path) -> Iterator[KeptBrowser]:
    """A phone whose way to the shop can be cut."""
    with stocked(playwright, tmp_path / "on-wire", network.address) as kept:
        yield kept


def test_a_job_waits_for_the_shop_before_it_ends_on_a_countersign_that_nobody_has_checked(
    on_wire: KeptBrowser, network: Wire, kit: dict[str, Any], photo: str
) -> None:
    page, phone = on_wire.page, Alone(on_wire.page, kit, photo)
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
